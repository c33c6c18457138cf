import type { Level } from '../port/pins.ts'
import type { NodeSample } from '../title/schedule.ts'
import type { ShownChange } from './play/player.ts'
import { SelectAtPad } from './play/select-at-pad.ts'
import type { Change } from './play/select-at-pad.ts'
import { codeOf } from './reach/counting.ts'
import type { ReplyCode } from './reach/counting.ts'
import type { Terrain } from './reach/explore.ts'
import type { SampledReply } from './reach/meets.ts'
import { rowAt } from './reach/shape.ts'
import { replyTo } from './reach/pairs.ts'
import { walkBack } from './reach/walk-back.ts'
import type { MetCount, VisitedNode, WalkedBack } from './reach/walk-back.ts'

/** One timing of a box in which a sample meets what the bench says that it can meet: whoever doubts the bench can play it. */
export interface Witness {
  /** All reads from power-on to the one with the sample, in ns from the place of the first. */
  readonly reads: readonly WitnessRead[]
  /** What was counted before the first read, and when its idle reset comes if no rise comes first. */
  readonly before: { readonly code: ReplyCode; readonly rises: number; readonly resetNs: number | null }
  /** Everything that the pad counts, in the order in which it does. */
  readonly counted: readonly Counted[]
  /** The sample, in the last of the reads. */
  readonly sampleNs: number
  /** The sample, or the identification that it hangs on, comes in the very instant of a change, and must meet the side of it that is worse. */
  readonly isOnEdge: boolean
}

export interface WitnessRead {
  readonly placeNs: number
  readonly startNs: number
  /** Select as the title writes it; a line that is let go has risen at `risesNs`, if no fall comes first. */
  readonly writes: readonly {
    readonly atNs: number
    readonly phase: number
    readonly level: Level
    readonly risesNs: number | null
  }[]
  readonly samples: readonly {
    readonly atNs: number
    readonly phase: number
    readonly sample: NodeSample
  }[]
}

/** A change that the pad counts. */
export interface Counted extends ShownChange {
  readonly code: ReplyCode
}

/** A sample of the last read with what it meets. */
interface Meeting {
  /** Index into the visited nodes. */
  readonly at: number
  readonly sample: NodeSample
  readonly met: MetCount
}

/** A timing that shows this reply, as deep inside it as the sample can be. */
export function witnessOf(terrain: Terrain, reply: SampledReply): Witness {
  const last = reply.then ?? reply
  const walked = walkBack(terrain, last)
  const visited = toEndOfRead(terrain, walked.visited)
  const played = new CountedAlong(terrain, walked.start, visited, walked.resetsNs)
  const at = (node: number): number => walked.visited.findLastIndex((one) => one.node === node)
  const meetings: Meeting[] = [{ at: at(last.node), sample: last.sample, met: walked.target }]
  const pair = walked.first && terrain.pairs[walked.first.pair]
  if (walked.first && pair)
    meetings.unshift({ at: at(pair.first.node), sample: pair.first.sample, met: walked.first })
  const samples: MeetingAt[] = []
  for (const meeting of meetings)
    samples.push(played.sampleFor(meeting, (visited[meeting.at] as VisitedNode).atNs, samples[0] ?? null))
  const [first, second] = samples as [MeetingAt, MeetingAt | undefined]
  const { row, resetNs } = walked.start
  const code = row * 2 + (terrain.steps.schedule.idleLevel === 'high' ? 1 : 0)
  return {
    before: { code, rises: row, resetNs },
    reads: readsOf(terrain, visited, samples),
    counted: played.shownFor(first, second ?? first),
    sampleNs: (reply.then === null ? (second ?? first) : first).atNs,
    isOnEdge: samples.some(({ isOnEdge }) => isOnEdge),
  }
}

/** When a sample comes that meets its count. */
interface MeetingAt extends Meeting {
  readonly atNs: number
  /** How many changes were counted before what it meets. */
  readonly changes: number
  readonly isOnEdge: boolean
}

/** The rest of the read, as soon as it can come. */
function toEndOfRead({ steps }: Terrain, visited: readonly VisitedNode[]): VisitedNode[] {
  const all = [...visited]
  for (;;) {
    const last = all[all.length - 1] as VisitedNode
    const way = steps.node(last.node).next[0]
    if (way === undefined || way.kind === 'place' || steps.node(way.to).phase === 0) return all
    all.push({ ...last, node: way.to, atNs: last.atNs + way.lasts.minNs, risesNs: null })
  }
}

/** What the pad counts in one timing. */
class CountedAlong {
  readonly #changes: Change[] = []
  /** How many of them there were once each node had written. */
  readonly #after: readonly number[]

  constructor(
    private readonly terrain: Terrain,
    start: WalkedBack['start'],
    visited: readonly VisitedNode[],
    resetsNs: ReadonlyMap<number, number>,
  ) {
    const { schedule, times } = terrain.steps
    let risesInNs = 0
    const pad = new SelectAtPad(
      schedule.idleLevel,
      {
        riseNs: () => risesInNs,
        idleResetNs: (riseNs) => (resetsNs.get(riseNs) ?? riseNs + times.idleReset.maxNs) - riseNs,
      },
      (change) => this.#changes.push(change),
      { rises: start.row, resetNs: start.resetNs },
    )
    this.#after = visited.map(({ node, atNs, risesNs }) => {
      risesInNs = risesNs === null ? (times.rise?.maxNs ?? 0) : risesNs - atNs
      pad.write(terrain.steps.node(node).writes, atNs)
      return this.#changes.length
    })
    // What comes by itself after the last node: a rise and then its reset.
    if (pad.risesNs !== null) pad.pass(pad.risesNs)
    if (pad.resetsNs !== null) pad.pass(pad.resetsNs)
  }

  /** When a sample comes that meets its count, no sooner than another one. */
  sampleFor(meeting: Meeting, nodeNs: number, first: MeetingAt | null): MeetingAt {
    const { met } = meeting
    const { after } = meeting.sample
    const { minNs: soonNs, maxNs: lateNs } = replyTo(meeting.sample, this.terrain.steps.times.reply)
    const changes = (this.#after[met.visited - 1] ?? 0) + met.changes
    const from = this.#changes[changes - 1]?.atNs ?? -Infinity
    const until = this.#changes[changes]?.atNs ?? Infinity
    // What changes between two samples has to show between them.
    const leastNs = first === null ? -Infinity : first.atNs + (changes > first.changes ? 1 : 0)
    const minNs = Math.max(nodeNs + after.minNs, from + soonNs, met.atNs + soonNs, leastNs)
    const maxNs = Math.min(nodeNs + after.maxNs, until + lateNs, met.atNs + lateNs)
    const atNs = Math.floor((minNs + maxNs) / 2)
    return { ...meeting, atNs, changes, isOnEdge: atNs >= until + lateNs || minNs > maxNs }
  }

  /** What is counted, each shown so that both samples meet theirs: what one meets as soon as it can be, what comes after it as late. */
  shownFor(
    first: { readonly atNs: number; readonly changes: number },
    second: { readonly changes: number },
  ): Counted[] {
    const { shape, times } = this.terrain.steps
    const { minNs, maxNs } = times.reply
    return this.#changes.map((one, k) => {
      const code = codeOf({ row: rowAt(shape, one.rises), isHigh: one.level === 'high' })
      const [soonNs, lateNs] = [one.atNs + minNs, one.atNs + maxNs]
      if (k >= second.changes) return { ...one, code, shownNs: lateNs }
      const betweenNs = Math.min(lateNs, Math.max(soonNs, first.atNs + 1))
      return { ...one, code, shownNs: k < first.changes ? soonNs : betweenNs }
    })
  }
}

/** The reads of a timing; samples that nothing depends on come in the middle of their time. */
function readsOf(
  { steps }: Terrain,
  visited: readonly VisitedNode[],
  meetings: readonly MeetingAt[],
): WitnessRead[] {
  const reads: {
    placeNs: number
    startNs: number
    writes: WitnessRead['writes'][number][]
    samples: WitnessRead['samples'][number][]
  }[] = []
  visited.forEach(({ node, placeNs, atNs, risesNs }, k) => {
    const { phase, writes, samples } = steps.node(node)
    if (phase === 0) reads.push({ placeNs, startNs: atNs, writes: [], samples: [] })
    const read = reads[reads.length - 1]
    if (read === undefined) throw new Error('a read begins with its first phase')
    if (writes !== null)
      read.writes.push({
        atNs,
        phase,
        level: writes === 'low' ? 'low' : 'high',
        risesNs: writes === 'release' ? (risesNs ?? atNs + (steps.times.rise?.maxNs ?? 0)) : null,
      })
    for (const s of samples.keys())
      read.samples.push({
        atNs: sampleNs(
          samples,
          s,
          atNs,
          meetings.filter(({ at }) => at === k),
        ),
        phase,
        sample: samples[s] as NodeSample,
      })
  })
  return reads
}

/** A sample of a node comes when it is to meet something, or else in the middle of its time, none before those that precede it. */
function sampleNs(
  samples: readonly NodeSample[],
  at: number,
  nodeNs: number,
  meetings: readonly MeetingAt[],
): number {
  const ranked = meetings.map(({ sample, atNs }) => ({ rank: samples.indexOf(sample), atNs }))
  const { after } = samples[at] as NodeSample
  let ns = nodeNs + Math.floor((after.minNs + after.maxNs) / 2)
  for (const { rank, atNs } of ranked) {
    if (rank === at) return atNs
    ns = rank < at ? Math.max(ns, atNs) : Math.min(ns, atNs)
  }
  return ns
}
