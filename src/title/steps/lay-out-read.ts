import type { Level } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { NodeSample, ScheduleNode, Way } from '../schedule.ts'
import type { PlainStep, Read, SampleStep, SelectStep } from '../schema.ts'
import { refusedTime } from '../refused-times.ts'
import { clashTexts as t } from '../title-file-texts.ts'
import { clash } from './clash.ts'
import type { Clash } from './clash.ts'
import type { WrittenStep } from './write-out.ts'

/** A read by itself: its nodes, with ways between them. */
export interface LaidRead {
  readonly nodes: readonly LaidNode[]
  /** Where the read can end. */
  readonly exits: readonly Exit[]
  /** From its first node to the end of its last sample, at the most. */
  readonly longestNs: number
  readonly endLevel: Level
}

export type LaidNode = Pick<ScheduleNode, 'writes' | 'samples'> & {
  readonly next: readonly Extract<Way, { kind: 'gap' }>[]
}

export interface Exit {
  readonly node: number
  /** From the node to the last step. */
  readonly stepNs: number
  readonly onlyIf: Way['onlyIf']
}

/** What a step means to others: which samples it takes, and whether it tells six buttons. */
export interface SampleUse {
  readonly uses: readonly number[]
  /** The sample of select's own level that is taken at the same instant. */
  readonly readBack: number | null
  readonly waits: boolean
}

export interface ReadQuestion {
  readonly at: Clash['at']
  readonly steps: readonly WrittenStep[]
  readonly stretch: Read['stretch']
  readonly rise: RangeNs | null
  /** What the title can believe once it comes to a step. */
  readonly beliefAt: (step: WrittenStep) => 'six-buttons' | 'three-buttons' | 'either'
  readonly useOf: (step: WrittenStep) => SampleUse
  /** Whether what comes after the read counts from its last step. */
  readonly isFollowed: boolean
  readonly startLevel: Level
}

/** Select has no edges that are closer. */
const LEAST_BETWEEN_EDGES_NS = 100

const AT_ONCE: RangeNs = { minNs: 0, maxNs: 0 }

const plus = ({ minNs, maxNs }: RangeNs, ns: number): RangeNs => ({ minNs: minNs + ns, maxNs: maxNs + ns })
const sum = (one: RangeNs, other: RangeNs): RangeNs => ({
  minNs: one.minNs + other.minNs,
  maxNs: one.maxNs + other.maxNs,
})

/** How far a read has come on one of the ways through it. */
interface Tail {
  readonly node: number
  /** From the node to the step before. */
  readonly stepNs: number
  /** Whether the node is the edge before, or the start of the read. */
  readonly isAtEdge: boolean
  /** Whether any edge has been written. */
  readonly hasEdge: boolean
  readonly belief: Way['onlyIf']
  /** From the first node to this one, at the most. */
  readonly longestNs: number
}

interface NodeInWork {
  writes: ScheduleNode['writes']
  readonly samples: NodeSample[]
  readonly next: Extract<Way, { kind: 'gap' }>[]
}

/** Lays a read out in nodes. A step that comes at a time of its own after the step before it becomes a node where others count from it. */
export const layOutRead = (question: ReadQuestion): LaidRead => new ReadInWork(question).layOut()

class ReadInWork {
  readonly #nodes: NodeInWork[] = []
  #tails: readonly Tail[] = []
  #level: Level

  constructor(private readonly question: ReadQuestion) {
    this.#level = question.startLevel
  }

  layOut(): LaidRead {
    const { steps } = this.question
    const [first] = steps
    const opens = first && 'select' in first.step && first.step.after.maxNs === 0 && !first.step.waits
    this.#nodes.push({ writes: null, samples: [], next: [] })
    this.#tails = [{ node: 0, stepNs: 0, isAtEdge: true, hasEdge: false, belief: null, longestNs: 0 }]
    steps.forEach((written, k) => {
      if (k === 0 && opens) this.#open(written)
      else if ('select' in written.step) this.#write(written, written.step)
      else this.#sample(written, written.step, steps[k + 1])
    })
    return {
      nodes: this.#nodes,
      exits: this.#tails.map(({ node, stepNs, belief }) => ({ node, stepNs, onlyIf: belief })),
      longestNs: this.#longestNs(),
      endLevel: this.#level,
    }
  }

  /** The first step at the very start of the read. */
  #open({ step, at }: WrittenStep): void {
    const [tail] = this.#tails
    const [node] = this.#nodes
    if (!('select' in step) || tail === undefined || node === undefined) return
    if (step.when !== 'always') clash([...at, 'when'], t.conditionFirst)
    node.writes = step.select
    this.#level = step.select === 'low' ? 'low' : 'high'
    this.#checkRelease(step, at)
    this.#tails = [{ ...tail, hasEdge: true }]
  }

  #write(written: WrittenStep, step: SelectStep): void {
    const { at } = written
    const { rise } = this.question
    this.#checkRelease(step, at)
    const taken = this.#taking(written, step.when)
    const from = taken.goes
    const node = this.#nodes.length
    const waitsFor = step.waits && rise !== null ? rise : AT_ONCE
    let longestNs = 0
    for (const tail of from) {
      const base = this.#base(tail, step, at)
      const after = sum(plus(step.after, base), waitsFor)
      const lasts = this.#lead(tail, node, after, at)
      if (tail.hasEdge && tail.isAtEdge && lasts.minNs < LEAST_BETWEEN_EDGES_NS)
        clash(
          [...at, 'after', 'minNs'],
          t.edgesTooClose({ least: refusedTime(LEAST_BETWEEN_EDGES_NS), found: refusedTime(lasts.minNs) }),
        )
      longestNs = Math.max(longestNs, tail.longestNs + lasts.maxNs)
    }
    // A line that was waited for is up when the wait is over.
    this.#nodes.push({ writes: step.waits ? 'high' : step.select, samples: [], next: [] })
    this.#level = step.select === 'low' ? 'low' : 'high'
    const belief = step.when === 'always' ? null : step.when
    const reached: Tail = { node, stepNs: 0, isAtEdge: true, hasEdge: true, belief: null, longestNs }
    this.#tails = [{ ...reached, belief: taken.stays.length > 0 ? belief : null }, ...taken.stays]
  }

  #sample(written: WrittenStep, step: SampleStep, next: WrittenStep | undefined): void {
    const { at } = written
    const { uses, readBack, waits } = this.question.useOf(written)
    const { stretch, isFollowed } = this.question
    const isCountedFrom = stretch !== undefined || (next ? next.step.since === 'step' : isFollowed)
    // What may be held up has no exact time.
    const isExact = stretch === undefined && step.after.minNs === step.after.maxNs
    this.#tails = this.#tails.map((tail) => {
      const base = this.#base(tail, step, at)
      const after = plus(step.after, base)
      const samples = (range: RangeNs): NodeSample[] => [
        { after: range, uses, waits, isReadBack: false },
        ...(readBack === null ? [] : [{ after: range, uses: [readBack], waits: false, isReadBack: true }]),
      ]
      // Where the ways have parted, what comes on one of them does not belong to the node that they share.
      if (tail.belief === null && (isExact || !isCountedFrom)) {
        const node = this.#nodes[tail.node] as NodeInWork
        const before = node.samples.at(-1)
        if (before && after.minNs < before.after.maxNs)
          clash(
            [...at, 'after', 'minNs'],
            t.sampleBeforeStep({
              found: refusedTime(after.minNs),
              latest: refusedTime(before.after.maxNs),
            }),
          )
        node.samples.push(...samples(after))
        return { ...tail, stepNs: isExact ? after.minNs : tail.stepNs }
      }
      const node = this.#nodes.length
      const lasts = this.#lead(tail, node, after, at)
      this.#nodes.push({ writes: null, samples: samples(AT_ONCE), next: [] })
      return {
        ...tail,
        node,
        stepNs: 0,
        isAtEdge: false,
        belief: null,
        longestNs: tail.longestNs + lasts.maxNs,
      }
    })
  }

  /** The ways that take a step, and those that go round it. */
  #taking(written: WrittenStep, when: PlainStep['when']): { readonly goes: Tail[]; readonly stays: Tail[] } {
    if (when === 'always') return { goes: [...this.#tails], stays: [] }
    const belief = this.question.beliefAt(written)
    if (belief !== 'either') {
      if (belief === when) return { goes: [...this.#tails], stays: [] }
      clash([...written.at, 'when'], when === 'six-buttons' ? t.neverSix : t.neverThree)
    }
    const goes: Tail[] = []
    const stays: Tail[] = []
    for (const tail of this.#tails) {
      const other = when === 'six-buttons' ? 'three-buttons' : 'six-buttons'
      if (tail.belief === null) {
        goes.push({ ...tail, belief: when })
        stays.push({ ...tail, belief: other })
      } else (tail.belief === when ? goes : stays).push(tail)
    }
    return { goes, stays }
  }

  /** From the node of a tail to what a step counts from. */
  #base(tail: Tail, { since }: PlainStep, at: Clash['at']): number {
    if (since === 'step') return tail.stepNs
    if (!tail.isAtEdge) clash([...at, 'since'], t.edgeIsGone)
    return 0
  }

  #stretch(lasts: RangeNs): {
    readonly lasts: RangeNs
    readonly stretched: RangeNs | null
  } {
    const { stretch } = this.question
    if (!stretch) return { lasts, stretched: null }
    return { lasts, stretched: { minNs: lasts.minNs, maxNs: lasts.maxNs + stretch.byNs } }
  }

  /** The way from a tail to a node. @returns how long it lasts, where nothing holds it up */
  #lead(tail: Tail, to: number, after: RangeNs, at: Clash['at']): RangeNs {
    const { lasts, stretched } = this.#stretch(after)
    this.#checkOrder(tail, lasts, at)
    this.#nodes[tail.node]?.next.push({ kind: 'gap', to, frames: 0, onlyIf: tail.belief, lasts, stretched })
    return lasts
  }

  /** Everything at a node comes before the next one. */
  #checkOrder(tail: Tail, lasts: RangeNs, at: Clash['at']): void {
    const before = this.#nodes[tail.node]?.samples.at(-1)
    if (before && before.after.maxNs >= lasts.minNs && before.after.maxNs > 0)
      clash(
        at,
        t.stepBeforeSample({ found: refusedTime(lasts.minNs), latest: refusedTime(before.after.maxNs) }),
      )
  }

  #checkRelease({ select, waits }: SelectStep, at: Clash['at']): void {
    if (select === 'release' && this.question.rise === null) clash([...at, 'select'], t.noRise)
    if (waits && select !== 'release') clash([...at, 'waits'], t.waitsForNothing)
  }

  #longestNs(): number {
    const { stretch } = this.question
    const gaps = this.#nodes.filter(({ next }) => next.length > 0).length
    const heldUpNs = stretch ? stretch.byNs * Math.min(stretch.times, gaps) : 0
    return heldUpNs + Math.max(...this.#tails.map((tail) => tail.longestNs + this.#lastSampleNs(tail.node)))
  }

  #lastSampleNs(node: number): number {
    return this.#nodes[node]?.samples.at(-1)?.after.maxNs ?? 0
  }
}
