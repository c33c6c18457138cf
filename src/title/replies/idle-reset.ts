import { PINS } from '../../port/pins.ts'
import { isRise } from './decode.ts'
import type { Decoded, States } from './decode.ts'
import { cellAt } from './cells.ts'
import type { Cells } from './cells.ts'
import { isInputCell, UNKNOWN_CELL } from './pad-model.ts'
import type { CellCode, PadModel } from './pad-model.ts'
import { DataCursor, SETTLED_BY_NS, endOf, isHigh, startOf } from './phases.ts'
import type { Phases } from './phases.ts'
import type { Segment } from './segments.ts'

/** A time without a rise of select, and where on the capture's clock it ended. */
export interface Rest {
  readonly ns: number
  readonly atNs: number
}

/** The idle reset of a pad, from what it counted across rests; times from one rise to the next, or to the reset itself. */
export interface IdleReset {
  /** Bounds of the idle reset that follow from the capture. */
  readonly minNs: number | null
  readonly maxNs: number | null
  /** Rests after which the count went on, and the longest of them. */
  readonly without: number
  readonly longest: Rest | null
  /** Rests after which the count began again, and the shortest of them. */
  readonly with: number
  readonly shortest: Rest | null
  /** Resets that showed on the pins by themselves. */
  readonly shown: number
  /** Whether a longer rest had no reset than one that had it: it is not one time. */
  readonly contradicts: boolean
}

/** How sure the times of a capture are. */
export interface Errors {
  /** How exactly any time in the capture is known, in ns. */
  readonly stepNs: number
  /** The most that a reset can take to show on the pins, in ns. */
  readonly replyNs: number
}

export function idleResetOf(
  phases: Phases,
  segments: readonly Segment[],
  decoded: readonly Decoded[],
  cells: Cells,
  { stepNs, replyNs }: Errors,
): IdleReset | null {
  const without = new Extreme((one, other) => one > other)
  const within = new Extreme((one, other) => one < other)
  segments.forEach((segment, k) => {
    const { gapNs } = segment
    if (gapNs === null || gapNs === 0) return
    const verdicts = new Set(decoded.map((one) => acrossRest(phases, segments, one, k)))
    const [verdict] = verdicts
    if (verdicts.size !== 1 || verdict === null || verdict === undefined) return
    const rest = { ns: gapNs, atNs: startOf(phases, firstRise(phases, segment) as number) }
    if (verdict === 'reset') within.add(rest)
    else without.add(rest)
  })
  const models = decoded.map(({ model }) => model)
  const shown = shownResets(phases, segments, models, cells)
  const latest = new Extreme((one, other) => one > other, shown).rest
  const soonest = new Extreme((one, other) => one < other, shown).rest
  const least = [...moved(without.rest, -stepNs), ...moved(latest, -stepNs - replyNs)].sort(
    (p, q) => q.ns - p.ns,
  )
  const most = [...moved(within.rest, stepNs), ...moved(soonest, stepNs)].sort((p, q) => p.ns - q.ns)
  if (least.length === 0 && most.length === 0) return null
  const [minNs, maxNs] = [least[0]?.ns ?? null, most[0]?.ns ?? null]
  const contradicts = minNs !== null && maxNs !== null && minNs > maxNs
  return {
    minNs: contradicts ? maxNs : minNs,
    maxNs: contradicts ? minNs : maxNs,
    without: without.count,
    longest: least[0]?.rest ?? null,
    with: within.count,
    shortest: most[0]?.rest ?? null,
    shown: shown.length,
    contradicts,
  }
}

const moved = (rest: Rest | null, byNs: number) => (rest === null ? [] : [{ ns: rest.ns + byNs, rest }])

/** The most extreme of some rests, and how many there were. */
class Extreme {
  count = 0
  rest: Rest | null = null

  constructor(
    private readonly beats: (one: number, other: number) => boolean,
    rests: readonly Rest[] = [],
  ) {
    for (const rest of rests) this.add(rest)
  }

  add(rest: Rest): void {
    this.count++
    if (this.rest === null || this.beats(rest.ns, this.rest.ns)) this.rest = rest
  }
}

/**
 * Whether the count went on across the rest before a segment; `null`: its replies could be the same either way, or fit neither. Told by fixed levels
 * alone.
 */
function acrossRest(
  phases: Phases,
  segments: readonly Segment[],
  { alone, lateAlone, ends }: Decoded,
  k: number,
): 'reset' | 'none' | null {
  const segment = segments[k]
  if (segment === undefined || k === 0) return null
  // A reset shows in the phases after the next rise: of these there has to be one at each level.
  const rise = firstRise(phases, segment)
  if (rise === null || rise + 1 > segment.last) return null
  const goesOn = ((alone[k] as States) & (ends[k - 1] as States)) !== 0
  const beginsAgain = ((alone[k] as States) & 1) !== 0 || lateAlone[k] !== 0
  if (beginsAgain === goesOn) return null
  return beginsAgain ? 'reset' : 'none'
}

function firstRise(phases: Phases, { first, last }: Segment): number | null {
  for (let k = first; k <= last; k++) if (isRise(phases, k)) return k
  return null
}

/** Resets in a rest at low that show: pins turn from one fixed level to the other with no edge. Nothing that is held does that. */
function shownResets(
  phases: Phases,
  segments: readonly Segment[],
  models: readonly PadModel[],
  cells: Cells,
): Rest[] {
  const found = new Map<number, Rest>()
  for (const line of phases.lines) {
    const pin = PINS.indexOf(line.pin)
    const cursor = new DataCursor(line)
    segments.forEach(({ last }, k) => {
      const next = segments[k + 1]
      const isRest = next !== undefined && next.gapNs !== null && next.gapNs > 0
      if (!isRest || last < 1 || isHigh(phases, last) || !isRise(phases, last - 1)) return
      const cell = cellAt(cells, last, pin)
      const turns = models.every(({ low }) => turnsFixed(cell, low[0]?.cells[pin]))
      if (!turns) return
      cursor.levelBefore(startOf(phases, last) + SETTLED_BY_NS)
      const atNs = cursor.changeBefore(endOf(phases, last))
      if (atNs === null) return
      const ns = atNs - startOf(phases, last - 1)
      if (ns < (found.get(last)?.ns ?? Infinity)) found.set(last, { ns, atNs })
    })
  }
  return [...found.values()]
}

/** Whether a pin at a fixed level turns to the other one when the count begins again. */
export const turnsFixed = (cell: CellCode, first: CellCode = UNKNOWN_CELL): boolean =>
  cell !== first && [cell, first].every((code) => code !== UNKNOWN_CELL && !isInputCell(code))
