import fc from 'fast-check'
import type { ChartShape } from '../../src/bench/reach/shape.ts'
import type { RangeNs } from '../../src/port/range.ts'
import { IDENTIFIES } from '../../src/title/schedule.ts'
import type { NodeSample, Schedule, ScheduleNode, Way } from '../../src/title/schedule.ts'
import type { PadTimes } from './play-schedule.ts'

/** A schedule with what stands in front of it. */
export interface Setting {
  readonly schedule: Schedule
  readonly shape: ChartShape
  readonly times: PadTimes
}

interface Gen {
  /** A whole number, both included. */
  whole(min: number, max: number): number
  oneOf<T>(...all: readonly T[]): T
  /** True once in so many times. */
  onceIn(times: number): boolean
}

/** Schedules of all kinds with times short enough for replies and resets to come everywhere: between nodes, reads and frames. */
export const arbSetting: fc.Arbitrary<Setting> = fc.gen().map((g): Setting => {
  const gen: Gen = {
    whole: (min, max) => g(fc.integer, { min, max }),
    oneOf: (...all) => all[g(fc.nat, all.length - 1)] as (typeof all)[number],
    onceIn: (times) => g(fc.nat, times - 1) === times - 1,
  }
  const range = (min: number, max: number, most: number): RangeNs => {
    const minNs = gen.whole(min, max)
    return { minNs, maxNs: minNs + (gen.onceIn(3) ? 0 : gen.whole(0, most)) }
  }
  const shape: ChartShape = { cycles: gen.whole(1, 4), after: gen.oneOf('stay', 'start-again') }
  const isReleased = gen.onceIn(3)
  // How long a gap is beside a reply of some hundred ns.
  const gapNs = gen.oneOf(60, 300, 1_500)
  const times: PadTimes = {
    reply: range(0, gen.oneOf(20, 400), gen.oneOf(0, 30, 300)),
    idleReset: range(1, gen.oneOf(200, 3_000, 20_000), gen.oneOf(0, 50, 1_000)),
    rise: isReleased ? range(0, gen.oneOf(100, 2_000), gen.oneOf(0, 100, 1_000)) : null,
  }
  const drafts = Array.from({ length: gen.whole(1, 3) }, (_, read) => draftOf(gen, read, gapNs, isReleased))
  const firsts = drafts.map((_, k) => drafts.slice(0, k).reduce((sum, { nodes }) => sum + nodes.length, 0))
  const late = drafts.map(() => (gen.onceIn(2) ? range(0, 50, 100) : { minNs: 0, maxNs: 0 }))
  const on = (frames: number) => ({ frames, onlyIf: null })
  const nodes = drafts.flatMap((draft, read) =>
    draft.nodes.map((node, k): ScheduleNode => {
      const here = (firsts[read] as number) + k
      const next: Way[] = []
      const within = (to: number): void => {
        const lasts = draft.gaps[k] as RangeNs
        const stretched = draft.stretches[k] ?? null
        next.push({ kind: 'gap', to: (firsts[read] as number) + to, ...on(0), lasts, stretched })
      }
      const leave = (): void => {
        const target = gen.onceIn(4) ? gen.whole(0, drafts.length - 1) : (read + 1) % drafts.length
        const to = firsts[target] as number
        // A read that comes later in the ring can be of a frame of its own, too, as that of another mode is.
        const way = on(to <= here ? gen.oneOf(1, 1, 1, 3) : gen.oneOf(0, 0, 1))
        if (draft.isTied) {
          // Late enough for the read to be over however long it lasts.
          const least = draft.longestNs + (late[read] as RangeNs).maxNs
          const lasts = range(least + 1, least + gen.oneOf(100, 2_000, 20_000), 200)
          next.push({ kind: 'place', to, ...way, lasts, late: late[target] as RangeNs })
        } else {
          const lasts = draft.gaps[k] as RangeNs
          next.push({ kind: 'gap', to, ...way, lasts, stretched: draft.stretches[k] ?? null })
        }
      }
      const isLast = k === draft.nodes.length - 1
      if (isLast) leave()
      else within(k + 1)
      // No way leads round the identification.
      const isPast = draft.identifies < k + 1
      if (!isLast && gen.onceIn(6) && isPast) leave()
      if (k + 2 < draft.nodes.length && gen.onceIn(6) && draft.identifies !== k + 1) within(k + 2)
      return {
        mode: 0,
        read,
        readOfFrame: read,
        offsetNs: 0,
        phase: k,
        writes: node.writes,
        samples: node.samples,
        ...(draft.most === 1 ? {} : { stretches: draft.most }),
        next,
      }
    }),
  )
  const schedule: Schedule = {
    idleLevel: gen.oneOf('high', 'low'),
    opensLate: late[0] as RangeNs,
    nodes,
    rise: times.rise,
    // What is made of a sample has no part in what it meets.
    samples: [],
    sixButtons: { kind: 'never' },
    readsPerFrame: drafts.length,
  }
  return { schedule, shape, times }
})

interface Draft {
  readonly nodes: readonly Pick<ScheduleNode, 'writes' | 'samples'>[]
  /** From each node on. */
  readonly gaps: readonly RangeNs[]
  readonly stretches: readonly (RangeNs | null)[]
  /** In how many gaps it can be held up. */
  readonly most: number
  /** Node with the identification; -1 where there is none. */
  readonly identifies: number
  /** Whether its place in the frame leads to the next read. */
  readonly isTied: boolean
  /** From its first node to the end of its last sample. */
  readonly longestNs: number
}

function draftOf(gen: Gen, read: number, gapNs: number, isReleased: boolean): Draft {
  const length = gen.whole(1, 6)
  const isStretched = gen.onceIn(2)
  const most = gen.oneOf(1, 1, 2, 3)
  const opensLow = gen.onceIn(2)
  const places = Array.from({ length }, () => gen.oneOf(0, 0, 1, 1, 1, 2))
  const sampled = places.flatMap((n, node) => (n > 0 ? [node] : []))
  const identifies = sampled.length > 0 && gen.onceIn(2) ? gen.oneOf(...sampled) : -1
  let use = read * 100
  const all = places.map((n, k) => {
    let [minNs, maxNs] = [0, 0]
    const identifying = k === identifies ? gen.whole(0, n - 1) : -1
    const samples = Array.from({ length: n }, (_, s): NodeSample => {
      minNs += gen.whole(0, Math.ceil(gapNs / 8))
      maxNs = Math.max(maxNs, minNs + (gen.onceIn(3) ? 0 : gen.whole(0, Math.ceil(gapNs / 4))))
      const uses = s === identifying ? [IDENTIFIES] : []
      if (s !== identifying || gen.onceIn(4)) uses.push(use++)
      const isReadBack = s !== identifying && gen.onceIn(8)
      const waits =
        !isReadBack && identifies !== -1 && uses.some((one) => one !== IDENTIFIES) && gen.onceIn(2)
      return { after: { minNs, maxNs }, uses, waits, isReadBack }
    })
    const isHigh = (k % 2 === 0) !== opensLow
    const usual = isHigh ? (isReleased && !gen.onceIn(5) ? 'release' : 'high') : 'low'
    const writes = gen.onceIn(5) ? null : usual
    const leastNs = maxNs + 1
    const lasts = { minNs: leastNs + gen.whole(0, gapNs), maxNs: 0 }
    lasts.maxNs = lasts.minNs + (gen.onceIn(3) ? 0 : gen.whole(0, gapNs))
    const stretchNs = leastNs + gen.whole(0, 4 * gapNs)
    const stretched =
      isStretched && !gen.onceIn(3) ? { minNs: stretchNs, maxNs: stretchNs + gen.whole(0, gapNs) } : null
    return { node: { writes, samples } as const, lasts, stretched, maxNs }
  })
  const gaps = all.slice(0, -1)
  const moreNs = gaps
    .map(({ lasts, stretched }) => Math.max(0, (stretched?.maxNs ?? 0) - lasts.maxNs))
    .sort((p, q) => q - p)
  const sum = (all: readonly number[]): number => all.reduce((ns, one) => ns + one, 0)
  return {
    nodes: all.map(({ node }) => node),
    gaps: all.map(({ lasts }) => lasts),
    stretches: all.map(({ stretched }) => stretched),
    most,
    identifies,
    isTied: !gen.onceIn(3),
    longestNs:
      sum(gaps.map(({ lasts }) => lasts.maxNs)) + sum(moreNs.slice(0, most)) + (all.at(-1)?.maxNs ?? 0),
  }
}
