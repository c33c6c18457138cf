import { isSameRange } from '../../port/range.ts'
import type { RangeNs } from '../../port/range.ts'
import { IDENTIFIES } from '../../title/schedule.ts'
import type { NodeSample, Schedule, ScheduleNode, Way } from '../../title/schedule.ts'

/** A sample of a schedule. */
export interface SampleAt {
  readonly node: number
  readonly sample: NodeSample
}

/** An earlier sample of a read, and the later ones of which what they mean hangs on what it met, or the other way round. */
export interface Pair {
  readonly first: SampleAt
  /** Nodes before which the first can meet something, its own among them where it can, each with how long before at the most. */
  readonly open: ReadonlyMap<number, number>
  /** Whether it can meet something so long before that the title comes by its node once more in between. */
  readonly opensAround: boolean
  readonly later: readonly SampleAt[]
  /** Nodes at which a later one is, or from which the read still leads to one. */
  readonly needed: ReadonlySet<number>
}

/**
 * From the instant of a node to the instant of the pad's count that its sample meets: a sample meets what was counted the reply time
 * before it, and every reply has a time of its own.
 */
export function countedAfter(sample: NodeSample, reply: RangeNs): RangeNs {
  const { after } = sample
  const { minNs, maxNs } = replyTo(sample, reply)
  return { minNs: after.minNs - maxNs, maxNs: after.maxNs - minNs }
}

/** What lies between the count and what a sample looks at: nothing, where that is select itself. */
export const replyTo = ({ isReadBack }: NodeSample, reply: RangeNs): RangeNs =>
  isReadBack ? { minNs: 0, maxNs: 0 } : reply

const isIdentification = ({ sample }: SampleAt): boolean => sample.uses.includes(IDENTIFIES)

/** The latest of each schedule, which the next profile mostly asks for again. */
const KNOWN = new WeakMap<Schedule, { readonly reply: RangeNs; readonly pairs: readonly Pair[] }>()

/** All pairs of a schedule: the identification with what waits for it, and what waits with an identification that comes later. */
export function pairsOf(schedule: Schedule, reply: RangeNs): readonly Pair[] {
  const known = KNOWN.get(schedule)
  if (known && isSameRange(known.reply, reply)) return known.pairs
  const pairs = findPairs(schedule, reply)
  KNOWN.set(schedule, { reply, pairs })
  return pairs
}

function findPairs(schedule: Schedule, reply: RangeNs): Pair[] {
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
      if (later.length > 0)
        found.push({ first, ...openFor(schedule, first, reply), later, needed: leadingTo(schedule, later) })
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
function openFor(
  { nodes }: Schedule,
  { node, sample }: SampleAt,
  reply: RangeNs,
): Pick<Pair, 'open' | 'opensAround'> {
  const reachNs = -countedAfter(sample, reply).minNs
  /** Least time from each node to that of the sample, as far as it reaches. */
  const leastNs = new Map<number, number>()
  let opensAround = false
  const go = (here: number, ns: number): void => {
    if (ns > reachNs || ns >= (leastNs.get(here) ?? Infinity)) return
    leastNs.set(here, ns)
    nodes.forEach(({ next }: ScheduleNode, k) => {
      for (const way of next) {
        if (way.to !== here) continue
        const beforeNs = ns + leastGapNs(way)
        if (k === node && beforeNs <= reachNs) opensAround = true
        go(k, beforeNs)
      }
    })
  }
  go(node, 0)
  return { open: new Map([...leastNs].map(([here, ns]) => [here, reachNs - ns])), opensAround }
}

/** What happened since the place of a read tells how far back its last node is; zero is the least of that. */
const leastGapNs = (way: Way): number =>
  way.kind === 'place' ? 0 : Math.min(way.lasts.minNs, way.stretched?.minNs ?? Infinity)

/** Nodes from which samples of the same read can still come. */
function leadingTo({ nodes }: Schedule, later: readonly SampleAt[]): Set<number> {
  const found = new Set<number>()
  const go = (here: number): void => {
    if (found.has(here)) return
    found.add(here)
    if (nodes[here]?.phase === 0) return
    nodes.forEach(({ next }, k) => {
      if (next.some(({ kind, to }) => kind === 'gap' && to === here)) go(k)
    })
  }
  for (const { node } of later) go(node)
  return found
}
