import type { Control } from '../controls.ts'
import { LAYOUT_FORMAT, LAYOUT_VERSION } from '../layout/schema.ts'
import type { Cross, Extractor, Layout, PadIdentity } from '../layout/schema.ts'
import type { StickSide } from '../hold.ts'
import type { PressOutcome } from './decide.ts'
import { HAT_WAYS, hatOf } from './hat.ts'
import type { HatWay } from './hat.ts'
import type { Answer, Learned } from './learner.ts'
import { isDiscrete } from './places.ts'
import type { Remark } from './remarks.ts'
import type { Reach } from './roll.ts'

/** From what was learned to a layout. */

/** An analogue control is held from half of its way on, and let go at four tenths. */
const PRESS = 0.5
const RELEASE = 0.4
/** The gap between the two is so many times the noise at the least. */
const NOISE_GAP = 1.5
/** What comes to less of its range is told. */
const WEAK = 0.75
/** And a stick whose rests lie so much of half its range apart. */
const DRIFTS = 0.06

export interface LearnedLayout {
  /** `null` where nothing was found. */
  readonly layout: Layout | null
  readonly remarks: readonly Remark[]
}

const percentOf = (share: number): number => Math.round(100 * share)

/** A control that a value holds. */
function held(control: Control, { place, trace }: PressOutcome): Extractor {
  const { field, count, kind } = place
  if (kind === 'array' || kind === 'hat' || kind === 'raw-hat') {
    return { kind: 'array', control, field, count, value: trace.value }
  }
  if (isDiscrete(place)) return { kind: 'threshold', control, field, press: trace.value, release: trace.rest }
  const way = trace.value - trace.rest
  const gap = Math.min(
    Math.max((PRESS - RELEASE) * Math.abs(way), NOISE_GAP * trace.noise, 1),
    Math.max(PRESS * Math.abs(way) - trace.noise, 1),
  )
  // Away from rest, or an axis of three values would be held at its middle one; + 0 makes −0 a 0.
  const press = (way > 0 ? Math.ceil : Math.floor)(trace.rest + PRESS * way) + 0
  return { kind: 'threshold', control, field, press, release: Math.round(press - Math.sign(way) * gap) + 0 }
}

/** One bit of four, where only that one tells the pressed from the rest. */
function bitOf(finding: PressOutcome): PressOutcome | null {
  const { place, trace } = finding
  const changed = trace.value ^ trace.rest
  if (place.kind !== 'raw-hat' || changed === 0 || (changed & (changed - 1)) !== 0) return null
  const bit = Math.log2(changed)
  const field = { ...place.field, bit: place.field.bit + bit, bits: 1 }
  const one = (value: number): number => (value >> bit) & 1
  return {
    ...finding,
    place: { kind: 'raw-bit', field, count: 1, least: 0, most: 1 },
    trace: { ...trace, value: one(trace.value), rest: one(trace.rest) },
  }
}

const median = (values: readonly number[]): number | undefined =>
  values.toSorted((a, b) => a - b)[values.length >> 1]

/** Collects extractors and remarks. */
class LayoutBuilder {
  readonly extractors: Extractor[] = []
  readonly remarks: Remark[] = []
  readonly #learned: Learned

  constructor(learned: Learned) {
    this.#learned = learned
  }

  build(): void {
    this.#asides()
    this.#dpad()
    for (const { ask, finding, sharedWith } of this.#learned.answers) {
      if (sharedWith !== null) this.remarks.push({ kind: 'shared', ask, with: sharedWith })
      if (ask.kind !== 'press' || finding === null) continue
      if (!ask.control.startsWith('dpad-')) this.extractors.push(held(ask.control, finding))
      this.#remarkOn(ask.control, finding)
    }
    this.#stick('left')
    this.#stick('right')
  }

  #asides(): void {
    const used = this.#learned.answers.flatMap(({ finding }) =>
      finding === null ? [] : [finding.place.field],
    )
    for (const { place, why } of this.#learned.aside) {
      const { kind, field } = place
      // Undescribed bytes are told as a whole, once, and only where no other way of reading them was of use.
      const guess = why === 'number' || why === 'unsigned'
      const part = kind === 'raw-bit' || kind === 'raw-hat' || (kind === 'raw-byte' && field.signed)
      const inUse = used.some(({ report, bit }) => report === field.report && bit >> 3 === field.bit >> 3)
      if (!guess && !part && !(inUse && kind === 'raw-byte')) this.remarks.push({ kind: 'aside', place, why })
    }
  }

  #remarkOn(control: Control, { place, trace, other }: PressOutcome): void {
    if (other !== null) this.remarks.push({ kind: 'two-places', control, taken: place, other })
    if (trace.share < WEAK) this.remarks.push({ kind: 'weak', control, percent: percentOf(trace.share) })
  }

  #findings(
    wanted: (answer: Answer) => HatWay | null,
  ): { readonly way: HatWay; readonly finding: PressOutcome }[] {
    return this.#learned.answers.flatMap((answer) => {
      const way = wanted(answer)
      return way === null || answer.finding === null ? [] : [{ way, finding: answer.finding }]
    })
  }

  #dpad(): void {
    const all = this.#findings(({ ask }) => {
      if (ask.kind !== 'press') return null
      const way = ask.control.slice('dpad-'.length)
      return ask.control.startsWith('dpad-') && isWay(way) ? way : null
    })
    const hat = hatOf(all)
    if (hat !== null) {
      this.extractors.push({ kind: 'hat', cross: 'dpad', ...hat })
      return
    }
    for (const { way, finding } of all) {
      const one = bitOf(finding) ?? finding
      this.extractors.push(held(`dpad-${way}`, one))
      if (one.place.kind === 'hat' || one.place.kind === 'raw-hat') this.#oddHat('dpad')
    }
  }

  #oddHat(cross: Cross): void {
    if (!this.remarks.some(({ kind }) => kind === 'odd-hat')) this.remarks.push({ kind: 'odd-hat', cross })
  }

  #stick(stick: StickSide): void {
    const pushes = this.#findings(({ ask }) => (ask.kind === 'push' && ask.stick === stick ? ask.way : null))
    if (pushes.length === 0) return
    const hat = hatOf(pushes)
    if (hat !== null) {
      this.extractors.push({ kind: 'hat', cross: `stick-${stick}`, ...hat })
      return
    }
    const axes = pushes.filter(({ finding }) => !isDiscrete(finding.place))
    const roll = this.#learned.answers.find(({ ask }) => ask.kind === 'roll' && ask.stick === stick)
    const reach = roll?.reach ?? null
    if (axes.length === 2 && reach === null) this.remarks.push({ kind: 'not-rolled', stick })
    if (axes.length < 2) this.remarks.push({ kind: 'half-stick', stick })
    for (const { way, finding } of axes) {
      const axis = way === 'right' ? 'x' : 'y'
      this.#axis(stick, axis, finding, reach?.[axis === 'x' ? 0 : 1] ?? null)
    }
  }

  #axis(stick: StickSide, axis: 'x' | 'y', { place, trace }: PressOutcome, rolled: Reach | null): void {
    const { least, most } = place
    const rests = this.#learned.rests.find((one) => one.stick === stick && one.axis === axis)?.values ?? []
    const centre = Math.max(least + 1, Math.min(most - 1, Math.round(median(rests) ?? trace.rest)))
    const reach = rolled ?? {
      least: trace.value < centre ? trace.value : least,
      most: trace.value > centre ? trace.value : most,
    }
    // Up and left are low. Pushed was up, or right.
    const lowIsLeast = (axis === 'y') === trace.value < trace.rest
    const down = Math.min(reach.least, centre - 1)
    const up = Math.max(reach.most, centre + 1)
    const [low, high] = lowIsLeast ? [down, up] : [up, down]
    this.extractors.push({ kind: 'axis', stick, axis, field: place.field, low, centre, high })

    for (const end of ['low', 'high'] as const) {
      const value = end === 'low' ? low : high
      const share = Math.abs(value - centre) / Math.abs((value < centre ? least : most) - centre)
      if (share < WEAK) this.remarks.push({ kind: 'weak-end', stick, axis, end, percent: percentOf(share) })
    }
    const drift = (Math.max(...rests) - Math.min(...rests)) / ((most - least) / 2)
    if (drift >= DRIFTS) this.remarks.push({ kind: 'drifts', stick, axis, percent: percentOf(drift) })
  }
}

const isWay = (word: string): word is HatWay => (HAT_WAYS as readonly string[]).includes(word)

/** The layout that was learned, and what the user should know of it. */
export function learnedLayout(learned: Learned, name: string, pad: PadIdentity): LearnedLayout {
  const builder = new LayoutBuilder(learned)
  builder.build()
  const { extractors, remarks } = builder
  if (extractors.length === 0) return { layout: null, remarks }
  return {
    layout: { format: LAYOUT_FORMAT, version: LAYOUT_VERSION, name, notes: '', pad, extractors },
    remarks,
  }
}
