import type { RangeNs } from '../port/range.ts'
import type { Schedule, ScheduleNode, Way } from '../title/schedule.ts'
import type { Box } from './box.ts'
import { mostStretches } from './reach/steps.ts'
import type { WeighedTitle } from './weigh-title.ts'

/**
 * Most titles read in bursts, with rests in between that are longer than any idle reset, and no burst lasts as long as one. Wherever in a rest the reset comes, the pad
 * begins the next burst at its first cycle, with no reset to come; within a burst a reset only comes if it was due before the first read, and then at any time.
 * So what samples meet is the same for all resets: each time that is followed differs by when the reset is to come, and none is bounded by that. A reset in the middle of
 * its room then stands for all of them, and is followed once.
 */
export interface StandIn {
  readonly box: Box
  /** Within so much of a sample no reset comes in either box, nor in one between them. What takes less time to move or to mend has nothing to do with resets. */
  readonly spareNs: number
  /**
   * Whether it is in doubt by more: the same is met, but what is followed may be taken together otherwise. With as much in doubt it is not, since all that is compared is
   * later by the same.
   */
  readonly isWider: boolean
}

/** Those that may stand for a reset, the one first that stands for the most; none where resets can come elsewhere than in rests. */
export function standInsFor(schedule: Schedule, box: Box): StandIn[] {
  const { minNs, maxNs } = box.idleReset
  const room = roomFor(schedule, box.idleReset)
  if (room === null) return []
  const afterNs = room.minNs
  const beforeNs = room.maxNs - box.reply.maxNs
  const ownSpareNs = Math.min(minNs - afterNs, beforeNs - maxNs)
  const ownDoubtNs = maxNs - minNs
  const standIn = (doubtNs: number): StandIn => {
    const middleNs = Math.floor((afterNs + beforeNs - doubtNs) / 2)
    const idleReset = { minNs: middleNs, maxNs: middleNs + doubtNs }
    const spareNs = Math.min(ownSpareNs, middleNs - afterNs)
    return { box: { ...box, idleReset }, spareNs, isWider: doubtNs > ownDoubtNs }
  }
  // A profile that asks for another reset has a little more or less in doubt.
  const roundNs = 2 ** Math.ceil(Math.log2(Math.max(1, ownDoubtNs)))
  // Of a slow rise that moves, a place is told.
  const doubtsNs = new Set(box.rise === null ? [roundNs, ownDoubtNs] : [ownDoubtNs])
  return [...doubtsNs].map(standIn).filter(({ spareNs }) => spareNs > 0)
}

/** Whether everything that is told of a title has nothing to do with when the reset comes that stands for another, nor with how much is in doubt of it. */
export function saysAll({ spareNs, isWider }: StandIn, all: WeighedTitle): boolean {
  if (!all.isWhole || (isWider && hangsOnDoubt(all))) return false
  const { weighed, stays } = all
  return [weighed, stays ?? weighed].every(
    ({ marginNs, wrongs }) =>
      Math.abs(marginNs) < spareNs &&
      [...wrongs.values()].every(({ example }) => (example.shortNs ?? 0) < spareNs),
  )
}

/** What was counted before is asked for more than what is met only where it goes on. */
const hangsOnDoubt = ({ exploration, leftOver }: WeighedTitle): boolean =>
  exploration.hangsOnDoubt || (leftOver !== null && (leftOver.kind === 'stays' || leftOver.goesOn.length > 0))

/** Past this nobody asks when a reset comes. */
const LONGEST_REST_NS = 500_000_000

/** The latest of each schedule: a reset that is within it has the same. */
const KNOWN = new WeakMap<Schedule, RangeNs>()

/** From the longest burst to the shortest rest that is longer than the reset; `null` where that leaves no room for it. */
function roomFor(schedule: Schedule, reset: RangeNs): RangeNs | null {
  const fits = ({ minNs, maxNs }: RangeNs): boolean => minNs < reset.minNs && reset.maxNs < maxNs
  const known = KNOWN.get(schedule)
  if (known && fits(known)) return known
  const room = new Bursts(schedule, reset.maxNs).room()
  if (!fits(room)) return null
  KNOWN.set(schedule, room)
  return room
}

/** A schedule cut where it rests for longer than a reset takes. Its times are the least and the most that there can be, or further apart. */
class Bursts {
  readonly #nodes: readonly ScheduleNode[]
  /** By node: from the first one of its read, as long as nothing holds it up. */
  readonly #since: (RangeNs | undefined)[] = []
  /** By read: from its place to its first node. */
  readonly #late: (RangeNs | undefined)[] = []
  /** By read: for how long it can be held up in all. */
  readonly #heldUpNs: number[] = []
  /** By node: how long the burst can go on from there; infinite while that is being found out. */
  readonly #lastsNs: (number | undefined)[] = []
  readonly #riseNs: number
  #restNs = LONGEST_REST_NS

  constructor(
    private readonly schedule: Schedule,
    private readonly resetNs: number,
  ) {
    const { nodes, opensLate, rise } = schedule
    this.#nodes = nodes
    this.#riseNs = rise?.maxNs ?? 0
    this.#late[0] = opensLate
    // Within a read ways lead to later nodes, so what is known of a node is known before the ways on from it.
    for (const [k, node] of nodes.entries()) for (const way of node.next) this.#note(k, node, way)
  }

  room(): RangeNs {
    const longestNs = Math.max(...this.#nodes.map((_, k) => this.#burstFrom(k)))
    return { minNs: this.schedule.opensLate.maxNs + longestNs + this.#riseNs, maxNs: this.#restNs }
  }

  #note(k: number, node: ScheduleNode, way: Way): void {
    const { read } = node
    const to = this.#nodes[way.to] as ScheduleNode
    if (way.kind === 'place') this.#late[to.read] = hull(this.#late[to.read], way.late)
    else {
      // What is tied to the read before it is its own place.
      if (to.phase === 0) this.#late[to.read] = hull(this.#late[to.read], AT_ONCE)
      else this.#since[way.to] = hull(this.#since[way.to], sum(this.#since[k] ?? AT_ONCE, shortest(way)))
      const heldUpNs = mostStretches(node) * ((way.stretched?.maxNs ?? 0) - way.lasts.maxNs)
      this.#heldUpNs[read] = Math.max(this.#heldUpNs[read] ?? 0, heldUpNs)
    }
  }

  /** From node to node. */
  #between({ read }: ScheduleNode, k: number, way: Way): RangeNs {
    if (way.kind === 'gap') return shortest(way)
    const since = sum(this.#late[read] ?? AT_ONCE, this.#since[k] ?? AT_ONCE)
    const next = sum(way.lasts, way.late)
    return {
      minNs: next.minNs - since.maxNs - (this.#heldUpNs[read] ?? 0),
      maxNs: next.maxNs - since.minNs,
    }
  }

  /** From a node to the end of its burst, with all that can hold up the reads that are in it. */
  #burstFrom(k: number): number {
    return this.#lastsFrom(k) + (this.#heldUpNs[this.#nodes[k]?.read ?? 0] ?? 0)
  }

  #lastsFrom(k: number): number {
    const known = this.#lastsNs[k]
    if (known !== undefined) return known
    // What never rests comes by here again.
    this.#lastsNs[k] = Infinity
    const node = this.#nodes[k] as ScheduleNode
    let mostNs = Math.max(0, ...node.samples.map(({ after }) => after.maxNs))
    for (const way of node.next) {
      const { minNs, maxNs } = this.#between(node, k, way)
      const restNs = minNs - this.#riseNs
      if (restNs > this.resetNs) this.#restNs = Math.min(this.#restNs, restNs)
      else {
        const isSameRead = this.#nodes[way.to]?.phase !== 0
        mostNs = Math.max(mostNs, maxNs + (isSameRead ? this.#lastsFrom(way.to) : this.#burstFrom(way.to)))
      }
    }
    return (this.#lastsNs[k] = mostNs)
  }
}

const AT_ONCE: RangeNs = { minNs: 0, maxNs: 0 }

/** A gap, where nothing holds it up for longer. */
const shortest = ({ lasts, stretched }: Extract<Way, { kind: 'gap' }>): RangeNs => ({
  minNs: Math.min(lasts.minNs, stretched?.minNs ?? Infinity),
  maxNs: lasts.maxNs,
})

const sum = (one: RangeNs, other: RangeNs): RangeNs => ({
  minNs: one.minNs + other.minNs,
  maxNs: one.maxNs + other.maxNs,
})

const hull = (one: RangeNs | undefined, other: RangeNs): RangeNs =>
  one === undefined
    ? other
    : { minNs: Math.min(one.minNs, other.minNs), maxNs: Math.max(one.maxNs, other.maxNs) }
