import type { RangeNs } from '../../src/port/range.ts'
import type { Schedule, ScheduleNode, Way } from '../../src/title/schedule.ts'

export const exactly = (ns: number): RangeNs => ({ minNs: ns, maxNs: ns })

/** To another node, in a new frame or turn, with the same time for ever. */
export const gap = (to: number, ns: number): Way => ({
  kind: 'gap',
  to,
  frames: 1,
  onlyIf: null,
  lasts: exactly(ns),
  stretched: null,
})

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
        ? { kind: 'place', to: 0, frames: 1, onlyIf: null, lasts: exactly(FRAME_NS), late: exactly(0) }
        : { ...gap(phase + 1, toNs - atNs), frames: 0 }
    const sample = { after: exactly(sampleNs), uses: [0], waits: false, isReadBack: false }
    const samples = phase === sampled ? [sample] : []
    return { mode: 0, read: 0, readOfFrame: 0, offsetNs: 0, phase, writes: what, samples, next: [next] }
  })
  return {
    idleLevel: 'low',
    opensLate: exactly(0),
    nodes,
    rise: exactly(riseNs),
    samples: [
      {
        pins: { 1: 'up' },
        readBack: null,
        when: 'always',
        agreesWith: {},
        place: { mode: 0, read: 0, step: 0, cycle: 1, level: 'high' },
      },
    ],
    sixButtons: { kind: 'never' },
    readsPerFrame: 1,
  }
}
