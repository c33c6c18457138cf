import { phaseAt, pinsOf } from './chart.ts'
import type { Chart } from './chart.ts'
import type { PinChange } from './engine.ts'
import type { InputMask, KnownLevel, PinBits } from './pins.ts'

/**
 * The port over a whole row of select edges at once, for as long as what is held stays the same: the same meaning as
 * {@link PortEngine}, without an object for each edge. Property tests hold the two against each other.
 */

/** Levels of select as they stand in typed arrays. */
export const LEVEL_CODES = { low: 0, high: 1, unknown: 2 } as const satisfies Record<KnownLevel, number>

/** What stands for six pins that are not known. */
export const UNKNOWN_PINS = 0xff

/** A chart with certain inputs held, unrolled into rows: one for each cycle, and with *stay* one for what comes after. */
export interface HeldReplies {
  /** The six pins at `row << 2 | level code`, {@link UNKNOWN_PINS} where the level is not known. Row 0 answers after a reset. */
  readonly pins: Uint8Array
  /** The row that a rise leads to from the last; from the others it leads to the next. */
  readonly afterLastRow: number
}

/** Select in time. */
export interface SelectEdges {
  /** Level code before the first edge; no edge is counted from it. */
  readonly startLevel: number
  /** When select is at each level from, in whole nanoseconds, never going backwards. */
  readonly atNs: Float64Array
  /** Level codes, one for each time. The level of before is allowed and is not an edge. */
  readonly levels: Uint8Array
}

/** An idle reset that changes the pins. */
export interface ResetSeen {
  readonly atNs: number
  /** Index of the last edge before it. An edge at the very instant of a reset comes after it. */
  readonly afterEdge: number
  readonly pins: PinBits
}

/** @param held what reaches the port throughout: after mapping, opposite directions and repeat */
export function holdInputs(chart: Chart, held: InputMask): HeldReplies {
  const { cycles, after } = chart
  const rows = after.kind === 'stay' ? cycles.length + 1 : cycles.length
  const pins = new Uint8Array(rows << 2).fill(UNKNOWN_PINS)
  for (let row = 0; row < rows; row++) {
    pins[(row << 2) | LEVEL_CODES.low] = pinsOf(phaseAt(chart, row, 'low'), held)
    pins[(row << 2) | LEVEL_CODES.high] = pinsOf(phaseAt(chart, row, 'high'), held)
  }
  return { pins, afterLastRow: after.kind === 'stay' ? rows - 1 : 0 }
}

/**
 * What the pins show of every edge, as soon as select makes it: a deliberate delay comes on top, for edges and resets alike.
 *
 * @param endNs resets up to and including this time are told; not before the last edge
 * @param pinsAfter filled with the six pins after each edge
 * @returns the idle resets that change the pins, in order of time
 */
export function replyToEdges(
  { pins, afterLastRow }: HeldReplies,
  idleResetNs: number,
  { startLevel, atNs, levels }: SelectEdges,
  endNs: number,
  pinsAfter: Uint8Array,
): ResetSeen[] {
  const resets: ResetSeen[] = []
  const lastRow = (pins.length >> 2) - 1
  let level = startLevel
  let row = 0
  let resetNs = Infinity
  for (let k = 0; k < atNs.length; k++) {
    const nowNs = atNs[k] as number
    if (nowNs >= resetNs) {
      noteReset(resets, pins, row, level, resetNs, k - 1)
      row = 0
      resetNs = Infinity
    }
    const next = levels[k] as number
    if (level === LEVEL_CODES.low && next === LEVEL_CODES.high) {
      row = row === lastRow ? afterLastRow : row + 1
      resetNs = nowNs + idleResetNs
    }
    level = next
    pinsAfter[k] = pins[(row << 2) | level] as number
  }
  if (endNs >= resetNs) noteReset(resets, pins, row, level, resetNs, atNs.length - 1)
  return resets
}

/** Keeps a reset that comes at `atNs` out of `row`, if it changes the pins. */
function noteReset(
  resets: ResetSeen[],
  pins: Uint8Array,
  row: number,
  level: number,
  atNs: number,
  afterEdge: number,
): void {
  const after = pins[level] as number
  if (pins[(row << 2) | level] !== after) resets.push({ atNs, afterEdge, pins: after })
}

/**
 * Every change of the pins from time 0 to `endNs`, in order of time, at most one at each instant; the first entry is the start.
 *
 * @param delayNs deliberate delay between what select does and what the pins show of it
 */
export function* heldPinChanges(
  replies: HeldReplies,
  { idleResetNs, delayNs }: { readonly idleResetNs: number; readonly delayNs: number },
  edges: SelectEdges,
  endNs: number,
): Generator<PinChange> {
  let told: number | null = null
  let last = { atNs: 0, pins: replies.pins[edges.startLevel] as number }
  for (const next of everyReply(replies, idleResetNs, edges, endNs)) {
    const atNs = next.atNs + delayNs
    if (atNs > endNs) break
    // Of several at one instant only the last stands.
    if (atNs !== last.atNs && last.pins !== told) {
      yield knownAs(last)
      told = last.pins
    }
    last = { atNs, pins: next.pins }
  }
  if (last.pins !== told) yield knownAs(last)
}

const knownAs = ({ atNs, pins }: { atNs: number; pins: number }): PinChange => ({
  atNs,
  pins: pins === UNKNOWN_PINS ? null : pins,
})

/** What the pins show of edges and resets in order of time, whether it is new or not. */
function* everyReply(
  replies: HeldReplies,
  idleResetNs: number,
  edges: SelectEdges,
  endNs: number,
): Generator<{ readonly atNs: number; readonly pins: number }> {
  const pinsAfter = new Uint8Array(edges.atNs.length)
  const resets = replyToEdges(replies, idleResetNs, edges, endNs, pinsAfter)
  let r = 0
  for (let k = 0; k <= pinsAfter.length; k++) {
    for (let reset = resets[r]; reset !== undefined && reset.afterEdge < k; reset = resets[++r]) yield reset
    if (k < pinsAfter.length) yield { atNs: edges.atNs[k] as number, pins: pinsAfter[k] as number }
  }
}
