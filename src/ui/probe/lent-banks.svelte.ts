import * as v from 'valibot'
import { BANK_NUMBERS } from '../../adapter/constants.ts'
import type { BankNumber } from '../../adapter/constants.ts'
import { sameJson } from '../../document/same-json.ts'
import { imageCrc } from '../../profile/image-crc.ts'
import type { ShelfStore } from '../../shelf/store.ts'
import type { AdapterLink, BankView } from '../adapter/adapter-link.svelte.ts'
import type { Workbench } from '../workbench.svelte.ts'
import { lasting } from './lasting.svelte.ts'
import type { Refusal } from './probe-place.svelte.ts'

/** A bank that holds a probe, and what it held before. */
const LentSchema = v.strictObject({
  serialNumber: v.string(),
  demo: v.boolean(),
  bank: v.picklist(BANK_NUMBERS),
  /** What it held; `null` where it was empty. */
  image: v.nullable(v.instance<typeof Uint8Array<ArrayBufferLike>>(Uint8Array)),
  active: v.nullable(v.picklist(BANK_NUMBERS)),
  /** Of every probe that was to be written over it. */
  probeCrcs: v.array(v.number()),
})
export type Lent = Readonly<v.InferOutput<typeof LentSchema>>

const KEY = 'lent-banks'

const isSameBank = (p: Lent, q: Lent): boolean =>
  p.serialNumber === q.serialNumber && p.demo === q.demo && p.bank === q.bank

type Link = Pick<
  AdapterLink,
  'identity' | 'demo' | 'banks' | 'activeBank' | 'refresh' | 'flash' | 'setActive' | 'adapter'
>

/**
 * Banks that were lent to probes. What a bank holds is read back and stored before a probe is written over it, so that it can be put back after a
 * reload, too.
 */
export class LentBanks {
  readonly #link: Link
  readonly #sides: Pick<ShelfStore, 'side' | 'setSide'>
  #all = $state.raw<readonly Lent[]>([])
  readonly #loaded: Promise<void>

  constructor(link: Link, sides: Pick<ShelfStore, 'side' | 'setSide'>) {
    this.#link = link
    this.#sides = sides
    this.#loaded = this.#load()
  }

  async #load(): Promise<void> {
    this.#all = await this.#stored()
  }

  async #stored(): Promise<readonly Lent[]> {
    const read = v.safeParse(v.array(LentSchema), await this.#sides.side(KEY))
    return read.success ? read.output : []
  }

  /** What another tab has stored since: its probe must not be taken for what the bank held. */
  async #loadOthers(): Promise<void> {
    const stored = await this.#stored()
    this.#all = [...stored, ...this.#all.filter((lent) => !stored.some((one) => isSameBank(one, lent)))]
  }

  /** Those of the connected adapter that hold a probe now. */
  readonly here: readonly Lent[] = $derived.by(() =>
    this.#ofAdapter().filter((lent) => {
      const content = this.#viewOf(lent.bank)?.content
      return content !== undefined && content !== null && lent.probeCrcs.includes(content.crc32)
    }),
  )

  #ofAdapter(): readonly Lent[] {
    const { identity, demo } = this.#link
    return this.#all.filter((lent) => lent.serialNumber === identity?.serialNumber && lent.demo === demo)
  }

  #viewOf(bank: BankNumber): BankView | undefined {
    return this.#link.banks.find((view) => view.bank === bank)
  }

  lentOf(bank: BankNumber): Lent | undefined {
    return this.here.find((lent) => lent.bank === bank)
  }

  /**
   * Writes a probe into a bank and makes it the active one.
   *
   * @param saved images that the user has as files, in case this browser keeps nothing
   */
  async lend(bank: BankNumber, image: Uint8Array, saved: readonly Uint8Array[]): Promise<Refusal | boolean> {
    const link = this.#link
    await this.#loaded
    await this.#loadOthers()
    await link.refresh()
    const { identity, demo } = link
    const view = this.#viewOf(bank)
    if (identity === null || view === undefined) return false
    if (view.content !== null && view.image === null) return { kind: 'not-read', bank }
    const before = this.lentOf(bank)
    const lent: Lent = {
      serialNumber: identity.serialNumber,
      demo,
      bank,
      image: before ? before.image : view.image,
      // With two banks lent it is the one that was active before the first of them.
      active: (before ?? this.here[0])?.active ?? link.activeBank?.bank ?? null,
      probeCrcs: [...(before?.probeCrcs ?? []), imageCrc(image)],
    }
    const isKept = await this.#keep(lent, lent)
    const { image: held } = lent
    const isSafe = held === null || isKept || saved.some((one) => sameBytes(one, held))
    if (!isSafe) return { kind: 'not-kept', bank, image: held }
    if ((await link.flash(bank, image)) === null) return false
    if (link.activeBank?.bank !== bank) await link.setActive(bank)
    return link.activeBank?.bank === bank
  }

  /** Puts back what the bank held, and the bank that was active. Gives whether it is done. */
  async giveBack(lent: Lent): Promise<boolean> {
    const link = this.#link
    if (lent.image !== null && (await link.flash(lent.bank, lent.image)) === null) return false
    const isLast = this.here.every(({ bank }) => bank === lent.bank)
    const active = isLast ? lent.active : null
    if (active !== null && link.activeBank?.bank !== active && this.#viewOf(active)?.content) {
      await link.setActive(active)
      if (link.activeBank?.bank !== active) return false
    }
    await this.#keep(lent, null)
    return true
  }

  /** Stores another entry in the place of one, or none. Other tabs have entries of their own. Gives whether it is stored. */
  async #keep(lent: Lent, instead: Lent | null): Promise<boolean> {
    const others = (await this.#stored()).filter((one) => !isSameBank(one, lent))
    this.#all = instead === null ? others : [...others, instead]
    await this.#sides.setSide(KEY, this.#all)
    return sameJson(await this.#stored(), this.#all)
  }
}

const sameBytes = (one: Uint8Array, other: Uint8Array): boolean =>
  one.length === other.length && one.every((byte, k) => byte === other[k])

let ofPage: LentBanks | null = null

/** Those of the page: there is one adapter at a time. */
export const lentBanksOf = ({ link, sides }: Pick<Workbench, 'link' | 'sides'>): LentBanks =>
  (ofPage ??= lasting(() => new LentBanks(link, sides)))
