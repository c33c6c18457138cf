import { documentSentence } from '../../document/document.ts'
import { CONTROLS, controlMask } from '../../pad/controls.ts'
import type { ControlMask } from '../../pad/controls.ts'
import { LAYOUT_FORMAT, LAYOUT_LIMITS, LAYOUT_VERSION } from '../../pad/layout/schema.ts'
import type { Extractor, Layout, PadIdentity } from '../../pad/layout/schema.ts'
import { checkLayout } from '../../shelf/files.ts'
import { t } from './layout-texts.ts'

const encoder = new TextEncoder()

/** The longest beginning of a name that a layout takes. */
export function shortName(name: string): string {
  let short = ''
  for (const character of name.trim()) {
    if (encoder.encode(short + character).length > LAYOUT_LIMITS.nameBytes) break
    short += character
  }
  return short.trim()
}

const WAYS = ['up', 'down', 'left', 'right'] as const
const WAYS_OF = { x: ['left', 'right'], y: ['up', 'down'] } as const

/** What an extractor fills: of two that fill the same, only one is wanted. */
const slotsOf = (one: Extractor): readonly string[] => {
  if (one.kind === 'axis') return [`${one.stick} ${one.axis}`]
  return one.kind === 'hat' ? WAYS.map((way) => `${one.cross}-${way}`) : [one.control]
}

/** The controls that extractors hold, stick directions among them. */
export const controlsOf = (extractors: readonly Extractor[]): ControlMask =>
  controlMask(
    CONTROLS.filter((control) =>
      extractors.some((one) =>
        one.kind === 'axis'
          ? WAYS_OF[one.axis].some((way) => control === `stick-${one.stick}-${way}`)
          : slotsOf(one).includes(control),
      ),
    ),
  )

const clash = (a: Extractor, b: Extractor): boolean => {
  const slots = slotsOf(a)
  return slotsOf(b).some((slot) => slots.includes(slot))
}

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
    if (this.name.trim() === '') return t.noName
    return this.#made.ok ? '' : t.reason({ reason: documentSentence(this.#made.error) })
  })

  /** Puts an extractor in, in the place of one by number or at the end. Gives the sentence of a refusal. */
  put(extractor: Extractor, at: number | null): string | null {
    const twin = this.extractors.findIndex((one, k) => k !== at && clash(one, extractor))
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
    const kept = this.extractors.filter((one) => !learned.some((other) => clash(one, other)))
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
      name: this.name.trim() || 'A pad',
      notes: this.notes,
      pad: this.pad,
      extractors,
    })
  }
}
