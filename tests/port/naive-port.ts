import type { KnownLevel, Level } from '../../src/port/pins.ts'
import type { Pins } from '../../src/port/engine.ts'
import type { SelectSequence } from '../arbitraries.ts'

/**
 * The port as one would explain it on paper: nothing is kept from instant to instant, everything is worked out anew
 * from the list of edges. It stands beside the engine and shares no line with it.
 */
export interface NaivePort {
  readonly select: SelectSequence
  readonly idleResetNs: number
  readonly delayNs: number
  /** The pins after so many rises at this level, with what is held at this instant. */
  pinsAt(rises: number, level: Level, atNs: number): Pins
}

/** Instants of the rising edges up to and including `atNs`. */
function risesUntil({ startLevel, steps }: SelectSequence, atNs: number): number[] {
  const levels: KnownLevel[] = [startLevel, ...steps.map((step) => step.level)]
  return steps
    .filter((step, k) => step.atNs <= atNs && levels[k] === 'low' && step.level === 'high')
    .map((step) => step.atNs)
}

/** Rises since the last reset at an instant. */
export function countAt(port: NaivePort, atNs: number): number {
  let later = atNs
  let count = 0
  for (const riseNs of risesUntil(port.select, atNs).reverse()) {
    if (later - riseNs >= port.idleResetNs) break
    count += 1
    later = riseNs
  }
  return count
}

const levelAt = ({ startLevel, steps }: SelectSequence, atNs: number): KnownLevel =>
  steps.filter((step) => step.atNs <= atNs).at(-1)?.level ?? startLevel

/** What stands on the pins at an instant. */
export function naivePinsAt(port: NaivePort, atNs: number): Pins {
  const seenNs = atNs - port.delayNs
  const level = levelAt(port.select, seenNs)
  return level === 'unknown' ? null : port.pinsAt(countAt(port, seenNs), level, atNs)
}

/**
 * Every change of the pins from 0 to `endNs`.
 *
 * @param alsoAtNs instants beside edges and resets at which something may change
 */
export function naiveChanges(port: NaivePort, endNs: number, alsoAtNs: readonly number[] = []) {
  const edges = port.select.steps.map((step) => step.atNs)
  const instants = [...edges, ...edges.map((edgeNs) => edgeNs + port.idleResetNs)]
    .map((atNs) => atNs + port.delayNs)
    .concat(alsoAtNs)
    .filter((atNs) => atNs >= 0 && atNs <= endNs)
  const changes = [{ atNs: 0, pins: naivePinsAt(port, 0) }]
  for (const atNs of [...new Set(instants)].sort((a, b) => a - b)) {
    const pins = naivePinsAt(port, atNs)
    if (pins !== changes.at(-1)?.pins) changes.push({ atNs, pins })
  }
  return changes
}
