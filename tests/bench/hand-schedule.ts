import type { RangeNs } from '../../src/port/range.ts'
import type { Schedule, ScheduleNode, Way } from '../../src/title/schedule.ts'

export const exactly = (ns: number): RangeNs => ({ minNs: ns, maxNs: ns })

const FRAME_NS = 1_000

/**
 * One read in a frame of 1000 ns, in which select is written at these times, from rest low.
 *
 * @param sampleNs from the node with the one sample to it
 * @param sampled number of that node
 */
export function oneRead(
  writes: readonly (readonly [atNs: number, ScheduleNode['writes']])[],
  riseNs: number,
  sampleNs: number,
  sampled = 0,
): Schedule {
  const nodes = writes.map(([atNs, what], phase): ScheduleNode => {
    const toNs = writes[phase + 1]?.[0]
    const next: Way =
      toNs === undefined
        ? { kind: 'place', to: 0, isNextFrame: true, lasts: exactly(FRAME_NS), late: exactly(0) }
        : { kind: 'gap', to: phase + 1, isNextFrame: false, lasts: exactly(toNs - atNs), stretched: null }
    const samples = phase === sampled ? [{ after: exactly(sampleNs), uses: [0], waits: false }] : []
    return { read: 0, phase, writes: what, samples, next: [next] }
  })
  return { idleLevel: 'low', nodes, rise: exactly(riseNs) }
}
