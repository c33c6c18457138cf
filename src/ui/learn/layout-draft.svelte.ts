import { documentSentence } from '../../document/document.ts'
import { cutToBytes } from '../../document/cut-to-bytes.ts'
import { LAYOUT_FORMAT, LAYOUT_LIMITS, LAYOUT_VERSION } from '../../pad/layout/schema.ts'
import type { Extractor, Layout, PadIdentity } from '../../pad/layout/schema.ts'
import { fillSame } from '../../pad/layout/slots.ts'
import { checkLayout } from '../../shelf/files.ts'
import { isUnseen } from '../../words/foreign.ts'
import { t } from './layout-texts.ts'

/** The longest beginning of a name that a layout takes. */
export const shortName = (name: string): string => cutToBytes(name.trim(), LAYOUT_LIMITS.nameBytes).trim()

/** A layout before it is on the shelf: it may still lack a name, or hold nothing. */
export class LayoutDraft {
  pad = $state.raw<PadIdentity>({ via: 'hid', vendorId: 0, productId: 0, descriptorCrc32: null })
  name = $state('')
  notes = $state('')
  extractors = $state.raw<readonly Extractor[]>([])

  constructor(pad: PadIdentity, name: string, extractors: readonly Extractor[] = []) {
    this.pad = pad
    this.name = shortName(name)
    this.extractors = extractors
  }

  readonly #made = $derived.by(() => this.#with(this.extractors))

  /** The layout as it would go on the shelf; `null` while something is wrong with it. */
  readonly layout: Layout | null = $derived(this.#made.ok ? this.#made.value : null)

  /** Why it cannot go there yet; empty for nothing. */
  readonly fault: string = $derived.by(() => {
    if (this.extractors.length === 0) return t.noneFound
    if (isUnseen(this.name)) return t.noName
    return this.#made.ok ? '' : t.reason({ reason: documentSentence(this.#made.error) })
  })

  /** Puts an extractor in, in the place of one by number or at the end. Gives the sentence of a refusal. */
  put(extractor: Extractor, at: number | null): string | null {
    const twin = this.extractors.findIndex((one, k) => k !== at && fillSame(one, extractor))
    if (twin >= 0) return t.twice
    const next =
      at === null
        ? [...this.extractors, extractor]
        : this.extractors.map((one, k) => (k === at ? extractor : one))
    const checked = this.#with(next)
    if (!checked.ok) return t.reason({ reason: checked.error.message })
    this.extractors = next
    return null
  }

  /** Puts in what was learned, in the place of what it was found for before. */
  merge(learned: readonly Extractor[]): void {
    const kept = this.extractors.filter((one) => !learned.some((other) => fillSame(one, other)))
    this.extractors = [...kept, ...learned]
  }

  remove(at: number): void {
    this.extractors = this.extractors.filter((_, k) => k !== at)
  }

  #with(extractors: readonly Extractor[]) {
    return checkLayout({
      format: LAYOUT_FORMAT,
      version: LAYOUT_VERSION,
      // A name that is still missing is no fault of what was found.
      name: isUnseen(this.name) ? 'A pad' : this.name.trim(),
      notes: this.notes,
      pad: this.pad,
      extractors,
    })
  }
}
