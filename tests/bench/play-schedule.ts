import type { ChartShape } from '../../src/bench/reach/shape.ts'
import type { RangeNs } from '../../src/port/range.ts'
import type { NodeSample, Schedule, Way } from '../../src/title/schedule.ts'

/**
 * Any schedule in front of a counter in one timing, in which every way, sample, reply, reset and rise takes a time of its own. Written
 * apart from the bench: first what the title does as a plain list in the order of time, then what the pad makes of it.
 */

/** What the adapter and the line add, each from the least to the most. */
export interface PadTimes {
  readonly reply: RangeNs
  readonly idleReset: RangeNs
  readonly rise: RangeNs | null
}

/** A node as a title comes by it: when, and when it samples there, in ns from the place of the first read. */
export interface Visit {
  readonly node: number
  readonly atNs: number
  readonly samplesNs: readonly number[]
  /** What a line that is let go here takes to rise, if it does. */
  readonly riseNs: number
}

/** What was counted before the first read, and when its idle reset comes, from the place of that read. */
export interface CountedBefore {
  readonly row: number
  readonly resetNs: number
}

/** What a sample meets, by the visit and its place among the samples of the node. */
export interface Met {
  readonly visit: number
  readonly sample: number
  readonly row: number
  readonly level: 'high' | 'low'
}

/** Takes one time out of a range. */
export type Draw = (range: RangeNs) => number

/** Where a title goes and when, for so many nodes. */
export function wander(
  schedule: Schedule,
  draw: Draw,
  choose: (n: number) => number,
  nodes: number,
): Visit[] {
  const visits: Visit[] = []
  let placeNs = 0
  let atNs = draw(startRange(schedule))
  let node = 0
  let stretches = 0
  for (;;) {
    const { samples, next, stretches: most = 1 } = at(schedule, node)
    let beforeNs = -Infinity
    const samplesNs = samples.map(({ after }) => {
      // Those of one node come in their order.
      const minNs = Math.max(after.minNs, beforeNs)
      beforeNs = draw({ minNs, maxNs: after.maxNs })
      return atNs + beforeNs
    })
    visits.push({ node, atNs, samplesNs, riseNs: schedule.rise === null ? 0 : draw(schedule.rise) })
    if (visits.length === nodes) return visits
    const way = next[choose(next.length)] as Way
    if (way.kind === 'place') {
      placeNs += draw(way.lasts)
      atNs = placeNs + draw(way.late)
    } else {
      const isStretched: boolean = way.stretched !== null && stretches < most && choose(2) === 1
      atNs += draw(isStretched ? (way.stretched as RangeNs) : way.lasts)
      if (isStretched) stretches++
    }
    node = way.to
    if (at(schedule, node).phase === 0) {
      stretches = 0
      if (way.kind === 'gap') placeNs = atNs
    }
  }
}

/** From the place of the first read to its first node. */
export const startRange = ({ opensLate }: Schedule): RangeNs => opensLate

const at = (schedule: Schedule, node: number): Schedule['nodes'][number] => {
  const found = schedule.nodes[node]
  if (found === undefined) throw new Error(`there is no node ${node}`)
  return found
}

type Event =
  | { readonly kind: 'write'; readonly atNs: number; readonly visit: Visit }
  | { readonly kind: 'sample'; readonly atNs: number; readonly visit: number; readonly sample: number }

/** Everything that the samples meet. */
export function playVisits(
  schedule: Schedule,
  shape: ChartShape,
  visits: readonly Visit[],
  { idle, reply }: { idle: () => number; reply: () => number },
  before?: CountedBefore,
): Met[] {
  const events: Event[] = visits.flatMap((visit, k): Event[] => [
    { kind: 'write', atNs: visit.atNs, visit },
    ...visit.samplesNs.map((atNs, sample): Event => ({ kind: 'sample', atNs, visit: k, sample })),
  ])
  events.forEach(({ atNs }, k) => {
    if (atNs < (events[k - 1]?.atNs ?? -Infinity)) throw new Error('a title does one thing after another')
  })
  let row = before?.row ?? 0
  let isHigh = schedule.idleLevel === 'high'
  let resetNs = before?.resetNs ?? Infinity
  let upNs = Infinity
  const shown = [{ fromNs: -Infinity, row, isHigh }]
  const show = (atNs: number): void => {
    const lastNs = shown[shown.length - 1]?.fromNs ?? -Infinity
    shown.push({ fromNs: Math.max(lastNs, atNs + reply()), row, isHigh })
  }
  const rise = (atNs: number): void => {
    isHigh = true
    row = shape.after === 'stay' ? Math.min(row + 1, shape.cycles) : (row + 1) % shape.cycles
    resetNs = atNs + idle()
    show(atNs)
  }
  /** What comes by itself up to an instant; a reset before a rise of the same instant. */
  const pass = (toNs: number): void => {
    for (;;) {
      const nextNs = Math.min(resetNs, upNs)
      if (nextNs > toNs) return
      if (resetNs <= upNs) {
        resetNs = Infinity
        row = 0
        show(nextNs)
      } else {
        upNs = Infinity
        if (!isHigh) rise(nextNs)
      }
    }
  }
  const met: Met[] = []
  for (const event of events) {
    const { atNs } = event
    if (event.kind === 'sample') {
      pass(atNs)
      const { node } = visits[event.visit] as Visit
      const { isReadBack } = at(schedule, node).samples[event.sample] as NodeSample
      // What looks at select itself has no reply to wait for.
      const now = isReadBack ? { row, isHigh } : shown.findLast(({ fromNs }) => fromNs <= atNs)
      if (now === undefined) throw new Error('something always stands on the pins')
      met.push({
        visit: event.visit,
        sample: event.sample,
        row: now.row,
        level: now.isHigh ? 'high' : 'low',
      })
      continue
    }
    const { writes } = at(schedule, event.visit.node)
    if (writes === 'low') {
      // A fall keeps a rise of the same instant from coming, but no reset.
      pass(atNs - 1)
      upNs = Infinity
      pass(atNs)
      if (isHigh) {
        isHigh = false
        show(atNs)
      }
      continue
    }
    pass(atNs)
    if (writes === 'high') {
      upNs = Infinity
      if (!isHigh) rise(atNs)
    } else if (writes === 'release' && !isHigh && upNs === Infinity) upNs = atNs + event.visit.riseNs
  }
  return met
}
