import type { RangeNs } from '../../port/range.ts'
import { IDENTIFIES } from '../../title/schedule.ts'
import type { NodeSample, Schedule, ScheduleNode } from '../../title/schedule.ts'

/** A sample of a schedule. */
export interface SampleAt {
  readonly node: number
  readonly sample: NodeSample
}

/** An earlier sample of a read, and the later ones of which what they mean hangs on what it met, or the other way round. */
export interface Pair {
  readonly first: SampleAt
  /** Nodes in the gap before which the first can meet something; its own among them, where it can. */
  readonly open: ReadonlySet<number>
  readonly later: readonly SampleAt[]
}

/**
 * From the instant of a node to the instant of the pad's count that its sample meets: a sample meets what was counted the reply time
 * before it, and every reply has a time of its own.
 */
export const countedAfter = ({ after }: NodeSample, reply: RangeNs): RangeNs => ({
  minNs: after.minNs - reply.maxNs,
  maxNs: after.maxNs - reply.minNs,
})

const isIdentification = ({ sample }: SampleAt): boolean => sample.uses.includes(IDENTIFIES)

/** All pairs of a schedule: the identification with what waits for it, and what waits with an identification that comes later. */
export function pairsOf(schedule: Schedule, reply: RangeNs): Pair[] {
  const found: Pair[] = []
  const reads = Math.max(...schedule.nodes.map(({ read }) => read)) + 1
  for (let read = 0; read < reads; read++) {
    const samples = schedule.nodes.flatMap((node, k) =>
      node.read === read ? node.samples.map((sample): SampleAt => ({ node: k, sample })) : [],
    )
    const at = samples.findIndex(isIdentification)
    const identification = samples[at]
    if (identification === undefined) continue
    const pair = (first: SampleAt, later: readonly SampleAt[]): void => {
      if (later.length > 0) found.push({ first, open: openFor(schedule, first, reply), later })
    }
    pair(
      identification,
      samples.slice(at + 1).filter(({ sample }) => sample.waits),
    )
    for (const one of samples.slice(0, at)) if (one.sample.waits) pair(one, [identification])
  }
  return found
}

/** Nodes in the gap before which a sample can still meet something. */
function openFor({ nodes }: Schedule, { node, sample }: SampleAt, reply: RangeNs): Set<number> {
  const open = new Set<number>()
  /** Least time from a node to that of the sample. */
  const go = (here: number, leastNs: number): void => {
    if (countedAfter(sample, reply).minNs + leastNs > 0 || open.has(here)) return
    open.add(here)
    nodes.forEach(({ next }: ScheduleNode, k) => {
      for (const way of next) {
        // What happened since the place of a read tells how far back its last node is; zero is the least of that.
        if (way.to === here) go(k, leastNs + (way.kind === 'gap' ? way.lasts.minNs : 0))
      }
    })
  }
  go(node, 0)
  return open
}
