import { frameNs } from '../../port/clocks.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import type { Bursts } from './bursts.ts'
import { Histogram } from './histogram.ts'
import type { SelectLine } from '../select-line.ts'
import { HIGH } from '../select-line.ts'

/** More edges than a read can have, twice over: a line that has them without a rest is no select line. */
const RESTLESS_EDGES = 4 * TITLE_LIMITS.cyclesPerRead
/** Lengths in neighbouring bins of the histogram are equal as far as it can tell. */
const STEADY = 2 ** (1 / 8)

/** Common practice, no source: no title polls so often, in Hz; a video line comes 15 600 times a second. */
const LEAST_CLOCK_HZ = 8_000

/** Between two reads out of as many as a frame can have, there is a rest of about this length somewhere. */
const SHORTEST_REST_NS = frameNs('525-line') / (2 * TITLE_LIMITS.readsPerFrame)

type NoSelect = { readonly kind: 'clock'; readonly hz: number } | { readonly kind: 'never-rests' }

/** Whether a line never rests, as a clock, or a bus, does not. */
export function findClock({ timesNs, levels }: SelectLine, { whole, broken }: Bursts): NoSelect | null {
  if (whole.length > 0 || broken.count > 0 || timesNs.length <= RESTLESS_EDGES) return null
  const restsNs = timesNs.reduce((most, ns, k) => Math.max(most, (timesNs[k + 1] ?? ns) - ns), 0)
  const risesNs = timesNs.filter((_, k) => k > 0 && levels[k] === HIGH)
  return steady(risesNs) ?? (restsNs < SHORTEST_REST_NS ? { kind: 'never-rests' } : null)
}

/** Whether bursts come so steadily, and so often, that they are pulses of a clock rather than reads. */
export function findPulses(startsNs: Float64Array): NoSelect | null {
  const pulses = startsNs.length > RESTLESS_EDGES ? steady(startsNs) : null
  return pulses
}

function steady(timesNs: Float64Array): { readonly kind: 'clock'; readonly hz: number } | null {
  const last = timesNs.length - 1
  const lengths = new Histogram()
  for (let k = 1; k <= last; k++) lengths.add((timesNs[k] ?? 0) - (timesNs[k - 1] ?? 0))
  if (lengths.quantile(0.95) > STEADY * lengths.quantile(0.05)) return null
  const hz = (last * 1e9) / ((timesNs[last] ?? 0) - (timesNs[0] ?? 0))
  return hz < LEAST_CLOCK_HZ ? null : { kind: 'clock', hz }
}
