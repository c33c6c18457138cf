import type { BankNumber } from '../../adapter/constants.ts'
import type { Flashed, FlashProgress } from '../../adapter/flash.ts'
import type { BankContent, InputEvent, TrialSlot } from '../../adapter/replies.ts'
import type { Place } from '../../adapter/place.ts'
import type { Adapter } from '../../adapter/session.ts'
import type { Transport } from '../../adapter/transport.ts'
import type { OpenTrouble, Trouble } from '../../adapter/troubles.ts'
import type { StatedAdapter } from '../../bench/judgement.ts'
import { ADAPTER_CLOCK_PPM, OUR_STATED } from '../../bench/stated.ts'
import type { ControlMask } from '../../pad/controls.ts'
import type { Result } from '../../port/result.ts'
import type { Profile } from '../../profile/schema.ts'
import { t } from './link-texts.ts'
import type * as Reach from './reach.ts'

/** What a bank holds, as far as it was read. */
export interface BankView {
  readonly bank: BankNumber
  readonly active: boolean
  readonly content: BankContent | null
  readonly image: Uint8Array | null
  /** What the image says; `null` for an empty bank or an image that this app cannot read. */
  readonly profile: Profile | null
  /** Why it could not be read. */
  readonly sentence: string | null
}

export type LinkState = 'none' | 'connecting' | 'open'

/** What went wrong, what to do next, and what to try again. */
export interface LinkNotice {
  readonly sentence: string
  readonly retryLabel: string
  readonly retry: () => void
}

export interface Flashing {
  readonly progress: FlashProgress
}

/** The way to a real adapter, or why there is none. */
export type RealTransport = () => Result<Transport, OpenTrouble> | Promise<Result<Transport, OpenTrouble>>

/** The adapter at the other end of the cable, real or demo: everything past the transport is the same. */
export class AdapterLink {
  readonly #demoTransport: () => Promise<Transport>
  readonly #realTransport: RealTransport
  #adapter = $state.raw<Adapter | null>(null)
  #cancel: AbortController | null = null
  #controls: { wanted: ControlMask; sent: ControlMask; sending: boolean } = {
    wanted: 0,
    sent: 0,
    sending: false,
  }

  /** Loaded before the first adapter is reached. */
  reach: typeof Reach | null = null
  state = $state.raw<LinkState>('none')
  demo = $state.raw(true)
  banks = $state.raw<readonly BankView[]>([])
  /** The slot of what is tried once; `null` where the firmware has none, or nobody has asked yet. */
  trial = $state.raw<TrialSlot | null>(null)
  /** What the adapter says is pressed. */
  live = $state.raw<InputEvent | null>(null)
  notice = $state.raw<LinkNotice | null>(null)
  flashing = $state.raw<Flashing | null>(null)
  /** The flash that went well last in this session. */
  flashed = $state.raw<Flashed<BankNumber> | null>(null)
  busy = $state.raw(false)

  constructor(demoTransport: () => Promise<Transport>, realTransport: RealTransport) {
    this.#demoTransport = demoTransport
    this.#realTransport = realTransport
  }

  /** Whoever is connected now. */
  get adapter(): Adapter | null {
    return this.#adapter
  }

  get identity() {
    return this.#adapter?.identity ?? null
  }

  /** What the connected adapter states, or the reference figures while there is none. */
  readonly stated: StatedAdapter = $derived.by(() => {
    const identity = this.#adapter?.identity
    if (!identity) return OUR_STATED
    return {
      replyNs: { minNs: identity.replyMinNs, maxNs: identity.replyMaxNs },
      delayStretch: identity.delayStretch,
      idleResetNs: { minNs: identity.idleResetToleranceMinNs, maxNs: identity.idleResetToleranceMaxNs },
      clockPpm: ADAPTER_CLOCK_PPM,
    }
  })

  #chosenBank = $state.raw<BankNumber | null>(null)

  /** The bank that is spoken of: the chosen one, else the active one. */
  readonly target: BankView | null = $derived.by(
    () =>
      this.banks.find(({ bank }) => bank === this.#chosenBank) ?? this.activeBank ?? this.banks[0] ?? null,
  )

  chooseBank(bank: BankNumber): void {
    this.#chosenBank = bank
  }

  /** The browser shows its list of devices, or the chosen one is asked who it is. */
  choosing = $state.raw(false)

  readonly activeBank: BankView | null = $derived(this.banks.find(({ active }) => active) ?? null)

  async connectDemo(): Promise<void> {
    let transport: Transport
    try {
      transport = await this.#demoTransport()
    } catch {
      this.notice = {
        sentence: t.demoNotLoaded,
        retryLabel: t.startDemo,
        retry: () => void this.connectDemo(),
      }
      return
    }
    await this.#connect(transport, true)
  }

  /** Opens the browser's list of devices; must follow a press of the user. */
  async connectMine(): Promise<void> {
    if (this.state === 'connecting') return
    if (!(await this.#loadReach(() => void this.connectMine()))) return
    const transport = await this.#realTransport()
    if (!transport.ok) {
      this.#tell(transport.error, t.tryAgain, () => void this.connectMine())
      return
    }
    this.choosing = true
    await this.#connect(transport.value, false)
    this.choosing = false
  }

  async #connect(transport: Transport, demo: boolean): Promise<void> {
    const before = this.#adapter
    const stateBefore = this.state
    this.notice = null
    this.state = 'connecting'
    const reach = await this.#loadReach(() => (demo ? void this.connectDemo() : void this.connectMine()))
    if (reach === null) {
      this.state = stateBefore
      return
    }
    const connected = await reach.connect(transport)
    if (!connected.ok) {
      // What was connected stays connected.
      this.state = before === this.#adapter ? stateBefore : 'none'
      this.#tell(connected.error, demo ? t.tryAgain : t.connectAgain, () =>
        demo ? void this.connectDemo() : void this.connectMine(),
      )
      return
    }
    const adapter = connected.value
    this.#adapter = adapter
    // A pad can be learned from what this adapter met.
    this.demo = demo
    this.state = 'open'
    this.flashed = null
    await before?.close()
    void adapter.ended.then((trouble) => this.#ended(adapter, trouble))
    const monitor = await adapter.monitor((event) => {
      if (this.#adapter === adapter) this.live = event
    })
    if (!monitor.ok) this.#tell(monitor.error, t.tryAgain, () => void this.refresh())
    this.#controls = { wanted: this.#controls.wanted, sent: 0, sending: false }
    this.#sendControls()
    await this.refresh()
  }

  #ended(adapter: Adapter, trouble: Trouble | null): void {
    if (this.#adapter !== adapter) return
    this.#adapter = null
    this.state = 'none'
    this.banks = []
    this.trial = null
    this.live = null
    if (trouble) {
      const demo = this.demo
      this.#tell(trouble, demo ? t.startDemo : t.connectAgain, () =>
        demo ? void this.connectDemo() : void this.connectMine(),
      )
    }
  }

  /** Ends the link; the device is free for others at once. */
  async disconnect(): Promise<void> {
    const adapter = this.#adapter
    this.#adapter = null
    this.state = 'none'
    this.banks = []
    this.trial = null
    this.live = null
    this.flashed = null
    await adapter?.close()
  }

  /** Reads the state of all banks and what they hold. */
  async refresh(): Promise<void> {
    const [adapter, reach] = [this.#adapter, this.reach]
    if (!adapter || !reach) return
    const status = await adapter.status()
    if (this.#adapter !== adapter) return
    if (!status.ok) {
      this.#tell(status.error, t.readAgain, () => void this.refresh())
      return
    }
    const banks: BankView[] = []
    for (const { bank, content } of status.value.banks) {
      banks.push(await this.#view(reach, adapter, bank, status.value.active === bank, content))
    }
    if (this.#adapter !== adapter) return
    this.banks = banks
    this.trial = status.value.trial
  }

  async #view(
    reach: typeof Reach,
    adapter: Adapter,
    bank: BankNumber,
    active: boolean,
    content: BankContent | null,
  ): Promise<BankView> {
    const nothing = { bank, active, content, image: null, profile: null, sentence: null }
    if (content === null) return nothing
    const image = await adapter.readBank(bank)
    if (!image.ok) return { ...nothing, sentence: this.#sentenceFor(image.error) }
    if (image.value === null) return { ...nothing, content: null }
    const { decodeImage, imageSentence } = reach
    const profile = decodeImage(image.value)
    return profile.ok
      ? { ...nothing, image: image.value, profile: profile.value }
      : {
          ...nothing,
          image: image.value,
          sentence: t.unreadable({ why: imageSentence(profile.error) }),
        }
  }

  /** Writes, commits, reads back and compares. Gives what was flashed, or `null` when a notice says why not. */
  async flash(bank: BankNumber, image: Uint8Array): Promise<Flashed<BankNumber> | null> {
    if (!this.flashing) this.flashed = null
    const flashed = await this.#write(
      image,
      (adapter, ...how) => adapter.flash(bank, image, ...how),
      () => this.flash(bank, image),
    )
    if (flashed) this.flashed = flashed
    return flashed
  }

  /** The same into the trial slot: it answers once, and no bank is touched. */
  armTrial(image: Uint8Array): Promise<Flashed<'trial'> | null> {
    return this.#write(
      image,
      (adapter, ...how) => adapter.armTrial(image, ...how),
      () => this.armTrial(image),
    )
  }

  async #write<P extends Place>(
    image: Uint8Array,
    write: (
      adapter: Adapter,
      onProgress: (progress: FlashProgress) => void,
      signal: AbortSignal,
    ) => Promise<Result<Flashed<P>, Trouble>>,
    again: () => Promise<unknown>,
  ): Promise<Flashed<P> | null> {
    const adapter = this.#adapter
    if (!adapter || this.flashing) return null
    this.notice = null
    const cancel = new AbortController()
    this.#cancel = cancel
    this.flashing = { progress: { step: 'writing', doneBytes: 0, totalBytes: image.length } }
    const flashed = await write(adapter, (progress) => (this.flashing = { progress }), cancel.signal)
    this.flashing = null
    this.#cancel = null
    if (!flashed.ok && this.#adapter) this.#tell(flashed.error, t.flashAgain, () => void again())
    await this.refresh()
    return flashed.ok ? flashed.value : null
  }

  /** Empties the trial slot. */
  async forgetTrial(): Promise<void> {
    const adapter = this.#adapter
    if (!adapter) return
    this.busy = true
    const done = await adapter.forgetTrial()
    this.busy = false
    if (done.ok) this.notice = null
    else if (this.#adapter) this.#tell(done.error, t.tryAgain, () => void this.forgetTrial())
    await this.refresh()
  }

  cancelFlash(): void {
    this.#cancel?.abort()
  }

  async setActive(bank: BankNumber): Promise<void> {
    const adapter = this.#adapter
    if (!adapter) return
    this.busy = true
    const done = await adapter.setActive(bank)
    this.busy = false
    if (done.ok) this.notice = null
    else if (this.#adapter) this.#tell(done.error, t.tryAgain, () => void this.setActive(bank))
    await this.refresh()
  }

  /** Holds controls at the demo adapter. A real one has its own pad, and nobody else plays on it. */
  hold(controls: ControlMask): void {
    this.#controls.wanted = controls
    this.#sendControls()
  }

  #sendControls(): void {
    const adapter = this.#adapter
    const { wanted, sent, sending } = this.#controls
    if (!adapter || !this.demo || sending || wanted === sent) return
    this.#controls.sending = true
    void adapter.setControls(wanted).then((done) => {
      if (this.#adapter !== adapter) return
      this.#controls.sending = false
      if (!done.ok) return
      this.#controls.sent = wanted
      this.#sendControls()
    })
  }

  dismiss(): void {
    this.notice = null
  }

  #tell(trouble: Trouble, retryLabel: string, retry: () => void): void {
    this.notice = { sentence: this.#sentenceFor(trouble), retryLabel, retry }
  }

  /** No trouble comes before what tells of it has been loaded. */
  #sentenceFor(trouble: Trouble | OpenTrouble): string {
    return this.reach?.sentenceFor(trouble) ?? ''
  }

  async #loadReach(retry: () => void): Promise<typeof Reach | null> {
    try {
      return (this.reach ??= await import('./reach.ts'))
    } catch {
      this.notice = {
        sentence: t.reachNotLoaded,
        retryLabel: t.tryAgain,
        retry,
      }
      return null
    }
  }
}
