import { createContext, untrack } from 'svelte'
import type { WorkerChip } from '../adapter/emulator/worker-chip.ts'
import type { JudgeOptions } from '../bench/judgement.ts'
import type { CabledAdapter, Judgement } from '../bench/judgement.ts'
import type { Reading } from '../bench/reading.ts'
import type { Layout } from '../pad/layout/schema.ts'
import type { InputMask, PinBits } from '../port/pins.ts'
import { err } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import type { Profile } from '../profile/schema.ts'
import { fitLayouts } from '../profile/fit-layouts.ts'
import { foreign } from '../words/foreign.ts'
import { encodeImage } from '../profile/encode-image.ts'
import type { AdapterNote } from '../shelf/desk.ts'
import type { FileContent } from '../shelf/files.ts'
import type { SavedShelf } from '../shelf/pack.ts'
import type { TitleEntry } from '../shelf/entry.ts'
import type { ReadPlace } from '../title/schedule.ts'
import type { FirstReading, ShelfStore, Unreadable } from '../shelf/store.ts'
import { bankOrder } from './adapter/bank-order.ts'
import { AdapterLink } from './adapter/adapter-link.svelte.ts'
import { noteOf, notesToBringBack } from './adapter/note-adapter.ts'
import type { BankView } from './adapter/adapter-link.svelte.ts'
import { Measurement } from './adapter/measurement.svelte.ts'
import { download, loadFileWork } from './file-exchange.ts'
import type * as FileWork from './file-work.ts'
import { Verdicts } from './judging/verdicts.svelte.ts'
import type { JudgeInput } from './judging/judgements.ts'
import { LateBench } from './judging/late-bench.svelte.ts'
import { LiveProfile, pageClock } from './live/live-profile.svelte.ts'
import { Notices } from './notices.svelte.ts'
import { PadInput } from './pad/pad-input.svelte.ts'
import { Route } from './route.svelte.ts'
import { Busy } from './busy.svelte.ts'
import type { BusyReason } from './busy.svelte.ts'
import { learnTray } from './learn/learn-tray.svelte.ts'
import { keepInStep } from './shelf-in-step.ts'
import type { LoadDemo } from './shelf-in-step.ts'
import { ShelfState } from './shelf-state.svelte.ts'
import { imageCrc } from '../profile/image-crc.ts'
import { verdictNews } from './titles/count-words.ts'
import type { TitleVerdict } from './titles/count-words.ts'
import { shelfTexts as t } from './app-texts.ts'

const DEMO_BANKS = 'demo-flash'
/** So many refusals of one file are told one by one. */
const REFUSALS_SHOWN = 3

const loadMuseum: LoadDemo = async () => {
  try {
    const { fetchBeside, loadDemo } = await import('../shelf/demo.ts')
    return await loadDemo(fetchBeside(document.baseURI))
  } catch {
    return err(t.demoLost)
  }
}

const startDemoAdapter = async (stored: unknown, keep: (banks: Uint8Array) => Promise<unknown>) =>
  (await import('./adapter/demo-adapter.ts')).startDemoAdapter(stored, keep)

/** All that the app knows. It holds and joins; what is computed comes from the rooms along the path of a press. */
export class Workbench {
  readonly #store: ShelfStore
  /** Where other rooms keep what is theirs and is not on the shelf. */
  readonly sides: Pick<ShelfStore, 'side' | 'setSide'>
  readonly notices = new Notices()
  readonly shelf: ShelfState
  readonly route: Route
  readonly padInput: PadInput
  readonly link: AdapterLink
  readonly verdicts: Verdicts
  #asked = false
  readonly #late = new LateBench()

  /** The open profile at work on what is held. */
  readonly live: LiveProfile
  /** The read of a title that is to be drawn instead of the one that its verdict speaks of. */
  #chosenRead = $state.raw<{ readonly titleId: string; readonly place: ReadPlace } | null>(null)
  /** The title whose form is open. */
  editingTitleId = $state.raw<string | null>(null)

  /** What the user says of the adapter at the other end of the cable. */
  readonly adapterNote: AdapterNote = $derived.by(() =>
    noteOf(this.shelf.desk.adapters, this.link.identity?.serialNumber ?? ''),
  )

  /** The layouts that go into a bank beside the open profile: those meant for this adapter, as far as they fit. */
  readonly layouts: readonly Layout[] = $derived.by(() => {
    const { layoutIds } = this.adapterNote
    const meant = this.shelf.layouts.filter(({ id }) => layoutIds === null || layoutIds.includes(id))
    return fitLayouts(bankOrder(meant)).fit
  })

  readonly image = $derived.by(() => {
    const bytes = encodeImage(this.shelf.open.document, this.layouts)
    return { bytes, crc32: imageCrc(bytes) }
  })

  readonly #cable = $derived.by(() => this.shelf.desk.cable)

  /** The adapter as a title meets it. Apart from the rest of the desk: the same as long as what it states and its cable are. */
  readonly adapter: CabledAdapter = $derived.by(() => ({ ...this.link.stated, cable: this.#cable }))

  readonly judgeOptions: JudgeOptions = $derived.by(() => ({
    adapter: this.adapter,
    marginNs: this.shelf.desk.marginNs,
  }))

  /** The title whose read is drawn: the chosen one, else the first that misreads, else the first. */
  readonly title: TitleEntry | null = $derived.by(() => {
    const { titles, desk } = this.shelf
    const chosen = titles.find(({ id }) => id === desk.chosenTitleId)
    return chosen ?? titles.find(({ id }) => this.judgementOf(id)?.verdict === 'misread') ?? titles[0] ?? null
  })

  readonly judgement: Judgement | null = $derived.by(() =>
    this.title ? this.judgementOf(this.title.id) : null,
  )

  readonly reading: Reading | undefined = $derived.by(() => {
    const { core } = this.#late
    if (!core || !this.title || !this.judgement) return undefined
    const { document } = this.title
    const place = this.#chosenRead?.titleId === this.title.id ? this.#chosenRead.place : null
    const chosen = place && { place, marginNs: this.shelf.desk.marginNs }
    return core.reading(this.shelf.open.document, document, this.adapter, this.judgement, chosen)
  })

  readonly counts = $derived.by(() => {
    const counts = { clean: 0, tight: 0, undecided: 0, misread: 0 }
    for (const { verdict } of this.verdicts.all.values()) counts[verdict]++
    return counts
  })

  /** The chip behind the demo adapter, once it has power. */
  demoChip: WorkerChip | null = null
  readonly measurement = new Measurement()
  readonly busy: Busy

  constructor(store: ShelfStore, first: FirstReading) {
    this.#store = store
    this.sides = store
    this.shelf = new ShelfState(store, first)
    this.route = new Route(() => (this.shelf.desk.visited ? 'port' : 'first'))
    this.padInput = new PadInput()
    this.link = new AdapterLink(
      async () => {
        // One chip for the life of the page: a link that ends leaves its power on.
        this.demoChip ??= await startDemoAdapter(await store.side(DEMO_BANKS), (banks) =>
          store.setSide(DEMO_BANKS, banks),
        )
        return this.demoChip
      },
      async () => (await import('./adapter/reach.ts')).chooseTransport({ navigator, isSecureContext }),
    )
    this.verdicts = new Verdicts(() => this.judgeInput, this.#late)

    this.live = new LiveProfile(this.shelf.open.document, pageClock)
    this.padInput.onchange((controls) => {
      this.live.hold(controls)
      this.link.hold(controls)
    })
    $effect(() => {
      const profile = this.shelf.open.document
      untrack(() => this.live.load(profile))
    })
    $effect(() => {
      const learned = this.shelf.layouts.map(({ document }) => document)
      this.padInput.readWith(learned, this.shelf.open.document.sticks)
    })
    $effect(() => {
      // The pad at a real adapter plays as one at the computer does.
      this.padInput.hold('adapter', this.link.demo ? 0 : (this.link.live?.controls ?? 0))
    })
    $effect(() => () => void this.link.disconnect())
    this.#whisperVerdicts()
    keepInStep(store, this.shelf, this.notices, first, loadMuseum)
    this.busy = new Busy(() => this.#busyReason)
    $effect(() => {
      // Back at this page, perhaps after making room on the disk.
      const seen = () => {
        if (document.visibilityState === 'visible') store.retry()
      }
      // Back from the browser's cache of pages, where it slept and heard nothing.
      const woken = ({ persisted }: PageTransitionEvent) => {
        if (persisted) store.lookAgain()
      }
      document.addEventListener('visibilitychange', seen)
      window.addEventListener('pageshow', woken)
      return () => {
        document.removeEventListener('visibilitychange', seen)
        window.removeEventListener('pageshow', woken)
      }
    })
    void this.link.connectDemo()
  }

  get #busyReason(): BusyReason | null {
    if (this.link.busy || this.link.flashing !== null) return 'flashing'
    if (learnTray.isBegun) return 'learning'
    const { saving } = this.shelf
    if (saving.kind === 'saved' || (saving.kind === 'unread' && !saving.pending)) return null
    return 'not-saved'
  }

  readonly judgeInput: JudgeInput = $derived.by(() => ({
    profile: this.shelf.open.document,
    titles: this.shelf.titles,
    options: this.judgeOptions,
  }))

  judgementOf(titleId: string): Judgement | null {
    return this.verdicts.all.get(titleId) ?? null
  }

  /** Changes the open profile; gives the sentence of a refusal, or `null` when it is done. */
  editProfile(
    label: string,
    change: (profile: Profile) => unknown,
    group: string | null = null,
  ): string | null {
    const edited = this.shelf.edit(label, change, group)
    if (edited.ok) void this.#askToPersist()
    return edited.ok ? null : `${edited.error.message}.`
  }

  /** Once there is work of the user's own, the browser is asked not to clear it away by itself. */
  async #askToPersist(): Promise<void> {
    if (this.#asked) return
    this.#asked = true
    // Absent on pages that are not secure; a refusal changes nothing today.
    await navigator.storage?.persist?.().catch(() => false)
  }

  chooseTitle(id: string): void {
    this.shelf.setDesk({ chosenTitleId: id })
  }

  /** Draws a read of the chosen title from now on. @param place `null`: whichever its verdict speaks of */
  chooseRead(place: ReadPlace | null): void {
    this.#chosenRead = this.title && place && { titleId: this.title.id, place }
  }

  /** Inputs that the open profile puts on the port now. */
  get held(): InputMask {
    return this.live.inputs
  }

  /** What stands on the pins at rest, select high, with these inputs. */
  get restPins(): PinBits {
    return this.live.restPins
  }

  /** In what a bank differs from the open profile: `null` when it is empty or unreadable, nothing when it is equal. */
  bankDifferences(bank: BankView): readonly string[] | null {
    const own = { profile: this.shelf.open.document, image: this.image.bytes }
    // No bank has been read before what reads it was there.
    return this.link.reach?.bankDifferences(bank, own) ?? null
  }

  /** Flashes the open profile and keeps in mind what went where. */
  async flash(bank: BankView['bank']): Promise<void> {
    const { id, revision, document } = this.shelf.open
    const { demo } = this.link
    this.shelf.seal()
    const flashed = await this.link.flash(bank, this.image.bytes)
    if (!flashed) return
    const { comparedBytes } = flashed
    this.shelf.setDesk({
      lastFlash: {
        profileId: id,
        revision,
        bank,
        crc32: flashed.crc32,
        comparedBytes,
        atMs: Date.now(),
        demo,
      },
    })
    this.notices.say(t.flashed({ name: document.name, bank, bytes: comparedBytes }))
    if (demo && this.link.activeBank?.bank === bank) await this.measure()
  }

  /** Lets the chosen title read the active bank of the demo adapter once, and looks at the pins. */
  async measure(): Promise<void> {
    const profile = this.link.activeBank?.profile
    const { core } = this.#late
    if (!core || !this.link.demo || !this.demoChip || !this.title || !profile) return
    const held = this.link.live?.inputs ?? 0
    await this.measurement.take(core, this.demoChip, {
      profile,
      held,
      title: this.title.document,
      stated: this.adapter,
    })
  }

  undo(): void {
    const label = this.shelf.undo()
    this.notices.say(label === null ? t.nothingToUndo : t.undone({ step: label }))
  }

  redo(): void {
    const label = this.shelf.redo()
    this.notices.say(label === null ? t.nothingToRedo : t.redone({ step: label }))
  }

  /**
   * Reads files that were dropped, picked or pasted; all of them are one step for undo. What cannot be read is told,
   * and keeps nothing else from being taken.
   */
  async takeFiles(files: readonly File[]): Promise<void> {
    const work = await this.#fileWork()
    if (work === null) return
    const { shelves, others } = await work.parted(files)
    for (const file of shelves) this.#bringBack(foreign(file.name), await work.readShelf(file))
    if (others.length > 0) this.#take(work, await Promise.all(others.map(work.readOne)))
  }

  /** Saves everything on the shelf as one file. */
  async saveShelf(): Promise<void> {
    const work = await this.#fileWork()
    if (work === null) return
    const { all, unreadable, older, desk } = this.shelf
    const whole = { entries: all, unreadable, older, adapters: desk.adapters }
    const { name, text } = work.shelfFile(whole, Date.now())
    const file = new Blob([text])
    download(name, file)
    const tooLarge = work.tooLargeAgain(name, file.size)
    if (tooLarge === null) this.notices.say(t.saved({ file: name }))
    else this.notices.warn(tooLarge)
  }

  /** Saves a record that cannot be read as a file. */
  async saveUnreadable(record: Unreadable): Promise<void> {
    const file = (await this.#fileWork())?.fileOfUnreadable(record)
    if (file) download(file.name, file.text)
  }

  async #fileWork(): Promise<typeof FileWork | null> {
    try {
      return await loadFileWork()
    } catch {
      this.notices.warn(t.fileWorkNotLoaded)
      return null
    }
  }

  #bringBack(name: string, saved: Result<SavedShelf, string>): void {
    if (!saved.ok) return this.notices.warn(saved.error)
    const { entries, unreadable, adapters, refused } = saved.value
    const added = this.shelf.bringBack(t.restore, entries)
    this.#store.putRecords(unreadable)
    this.shelf.setDesk({ adapters: notesToBringBack(this.shelf.desk.adapters, adapters) })
    for (const sentence of refused.slice(0, REFUSALS_SHOWN)) this.notices.warn(sentence)
    if (refused.length > REFUSALS_SHOWN) {
      this.notices.warn(t.moreUnreadable({ file: name, n: refused.length - REFUSALS_SHOWN }))
    }
    const there = entries.length - added.length
    this.notices.say(
      added.length === 0
        ? t.nothingRestored({ file: name })
        : t.restored({ file: name, restored: added.length, there }),
    )
  }

  /** Removes a record that cannot be read, for good. */
  async removeUnreadable(record: Unreadable): Promise<void> {
    if (await this.#store.removeUnreadable(record)) this.notices.say(t.recordRemoved)
    else this.notices.warn(t.recordStays)
  }

  async takeBytes(name: string, bytes: Uint8Array): Promise<void> {
    const work = await this.#fileWork()
    if (work !== null) this.#take(work, [work.readFile(name, bytes)])
  }

  #take(work: typeof FileWork, read: readonly Result<readonly FileContent[], string>[]): void {
    const contents = read.flatMap((one) => (one.ok ? one.value : []))
    const added = this.shelf.addAll(work.importLabel(contents), contents)
    const title = added.findLast(({ kind }) => kind === 'title')
    if (title) this.chooseTitle(title.id)
    const refused = read.flatMap((one) => (one.ok ? [] : [one.error]))
    if (refused.length > 0) this.notices.warn(work.refusalWords(refused, contents))
    else this.notices.say(work.importWords(contents))
    if (added.length > 0 && this.route.place === 'first') {
      const kinds = added.map(({ kind }) => kind)
      this.leaveFirst(kinds.includes('profile') ? 'profile' : kinds.includes('title') ? 'titles' : 'pad')
    }
  }

  leaveFirst(place: 'port' | 'titles' | 'adapter' | 'profile' | 'pad'): void {
    this.shelf.setDesk({ visited: true })
    this.route.go(place)
  }

  clearDemo(): void {
    this.shelf.clearDemo(t.clearDemo)
    this.notices.say(t.demoCleared)
  }

  async layOutDemo(): Promise<void> {
    const demo = await loadMuseum()
    if (!demo.ok) return this.notices.warn(demo.error)
    this.shelf.layOut(t.layOutDemo, demo.value)
    this.notices.say(t.demoLaidOut)
  }

  /** Tells who listens which verdicts an edit has turned, once the edit rests. */
  #whisperVerdicts(): void {
    let before: readonly TitleVerdict[] | null = null
    $effect(() => {
      const now = this.shelf.titles.map(({ id, document }) => ({
        id,
        name: document.name,
        verdict: this.judgementOf(id)?.verdict ?? null,
      }))
      const news = before ? verdictNews(before, now) : ''
      if (news !== '') this.notices.whisper(news)
      before = now
    })
  }
}

export const [useWorkbench, setWorkbench] = createContext<Workbench>()
