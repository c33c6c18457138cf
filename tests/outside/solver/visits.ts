import type { ChartShape } from '../../../src/bench/reach/shape.ts'
import type { RangeNs } from '../../../src/port/range.ts'
import type { Schedule, ScheduleNode, Way } from '../../../src/title/schedule.ts'
import { startRange } from '../../bench/play-schedule.ts'
import type { PadTimes } from '../../bench/play-schedule.ts'
import { Counter, History } from './counter.ts'
import { movedAfter } from './moves.ts'
import type { Moves } from './moves.ts'
import { NO, YES, and, isBy, not, or } from './problem.ts'
import type { Formula, Instant, Problem } from './problem.ts'

/** A node in one frame, with everything that can have happened by it. */
export interface Visit {
  readonly frame: number
  readonly node: ScheduleNode
  /** Whether the title comes by it. */
  readonly here: Formula
  readonly at: Instant
  readonly samples: readonly SampleInstants[]
  /** What is counted if the title does nothing after it: an edge that it makes after a sample cannot spoil the sample. */
  readonly history: History
}

interface SampleInstants {
  readonly at: Instant
  /** Where it can be if it is the sample that moves. */
  readonly movedAt: Instant
}

/** What stands in front of a schedule, and how it begins. */
export interface Setup {
  readonly schedule: Schedule
  readonly shape: ChartShape
  readonly times: PadTimes
  readonly begins: 'fresh' | 'left-over'
  readonly frames: number
}

/** A way that can be taken to a node. */
interface Taken {
  readonly isTaken: Formula
  readonly way: Way
  readonly lasts: RangeNs
  readonly isStretched: boolean
  readonly from: Reached
}

interface Reached {
  readonly place: Instant
  readonly at: Instant
  /** Whether at least so many gaps of the read were stretched: one, two and so on. */
  readonly stretched: readonly Formula[]
}

/** Everything that a title can do in its first frames, node by node in the order of time. */
export function visitsOf(problem: Problem, setup: Setup, moves: Moves): Visit[] {
  const { schedule, shape, times, begins, frames } = setup
  const counter = new Counter(problem, shape, times, moves)
  let count = counter[begins === 'fresh' ? 'fresh' : 'leftOver'](schedule.idleLevel)
  let history = new History(problem, count, [])
  const coming = new Map<number, Taken[]>()
  const size = schedule.nodes.length
  const visits: Visit[] = []
  for (let k = 0; k < frames * size; k++) {
    const node = schedule.nodes[k % size] as ScheduleNode
    const taken = coming.get(k) ?? []
    const here = k === 0 ? YES : problem.named(or(...taken.map(({ isTaken }) => isTaken)))
    if (here === NO) continue
    const reached = k === 0 ? firstReached(problem, schedule) : reachedBy(problem, node, taken)
    const { at } = reached
    const [passed, changes] = counter.pass(count, here, at, node.writes === 'low')
    const [written, change] = node.writes ? counter.write(passed, here, at, node.writes) : [passed, []]
    count = written
    history = history.with([...changes, ...change])
    const [, rest] = node.samples.length > 0 ? counter.pass(count, YES, null, false) : [null, []]
    const samples = samplesAt(problem, node, at, moves)
    visits.push({ frame: Math.floor(k / size), node, here, at, samples, history: history.with(rest) })
    for (const one of waysOn(problem, node, here, reached)) {
      const to = (Math.floor(k / size) + one.way.frames) * size + one.way.to
      coming.set(to, [...(coming.get(to) ?? []), one])
    }
  }
  return visits
}

function samplesAt(problem: Problem, node: ScheduleNode, at: Instant, moves: Moves): SampleInstants[] {
  const { byNs, sample } = moves
  const samples = node.samples.map(({ after }) => {
    const usual = problem.after(at, after)
    const moved = { sooner: sample, later: sample }
    return {
      at: usual,
      movedAt: sample === NO ? usual : movedAfter(problem, at, after, byNs, moved, -Infinity),
    }
  })
  // Those of one node come in their order.
  samples.forEach((one, k) => {
    const before = samples[k - 1]
    if (before !== undefined) problem.assert(isBy(before.at, one.at))
  })
  return samples
}

function firstReached(problem: Problem, schedule: Schedule): Reached {
  const at = problem.after(problem.origin, startRange(schedule))
  return { place: problem.origin, at, stretched: [] }
}

function waysOn(problem: Problem, node: ScheduleNode, here: Formula, from: Reached): Taken[] {
  const all = node.next.flatMap((way) => {
    const { lasts } = way
    const usual = { way, lasts, isStretched: false, from }
    const stretched = way.kind === 'gap' ? way.stretched : null
    return stretched === null ? [usual] : [usual, { way, lasts: stretched, isStretched: true, from }]
  })
  const only = all.length === 1
  const taken = all.map((one): Taken => ({ ...one, isTaken: only ? here : problem.choice() }))
  if (!only) {
    const choices = taken.map(({ isTaken }) => isTaken)
    problem.oneOf(choices, here)
    const isUsedUp = from.stretched[(node.stretches ?? 1) - 1] ?? NO
    for (const { isTaken, isStretched } of taken)
      problem.assert(or(not(isTaken), isStretched ? and(here, not(isUsedUp)) : here))
  }
  return taken
}

function reachedBy(problem: Problem, node: ScheduleNode, taken: readonly Taken[]): Reached {
  const at = problem.instant()
  const opens = node.phase === 0
  const isTied = taken.some(({ way }) => way.kind === 'place')
  const places = new Set(taken.map(({ from }) => from.place))
  const [only] = places
  const kept = places.size === 1 && only !== undefined ? only : problem.instant()
  // A read that is tied to the one before it is its own place.
  const place = isTied ? problem.instant() : opens ? at : kept
  for (const { way, from, lasts, isTaken } of taken) {
    if (way.kind === 'place') {
      problem.bound(place, from.place, lasts, isTaken)
      problem.bound(at, place, way.late, isTaken)
    } else {
      problem.bound(at, from.at, lasts, isTaken)
      problem.bound(place, opens ? at : from.place, { minNs: 0, maxNs: 0 }, isTaken)
    }
  }
  return { place, at, stretched: opens ? [] : stretchedBy(problem, taken) }
}

function stretchedBy(problem: Problem, taken: readonly Taken[]): Formula[] {
  const most = Math.max(
    ...taken.map(({ from, isStretched }) => from.stretched.length + (isStretched ? 1 : 0)),
  )
  return Array.from({ length: most }, (_, k) => {
    const isSo = taken.map(({ isTaken, isStretched, from }) => {
      const before = isStretched ? (k === 0 ? YES : from.stretched[k - 1]) : from.stretched[k]
      return and(isTaken, before ?? NO)
    })
    return problem.named(or(...isSo))
  })
}
