import type { StepsOfWork } from '../port/steps-of-work.ts'
import type { Profile } from '../profile/schema.ts'
import { rangeAt, withFigure } from '../title/time-figures.ts'
import type { TimeFigure } from '../title/time-figures.ts'
import type { Title } from '../title/schema.ts'
import { layOutTitle } from '../title/steps/lay-out-title.ts'
import { TITLE_LIMITS } from '../title/title-limits.ts'
import type { TimeKind } from '../title/times.ts'
import { judge } from './judge.ts'
import type { JudgeOptions, Verdict } from './judgement.ts'

/** How the verdict changes along a figure of a title, all else as it is. */
export interface Along {
  /** What the figure can be between the others, up to twice what it is. */
  readonly leastNs: number
  readonly mostNs: number
  /** Ascending, without a gap; both ends included. */
  readonly stretches: readonly Stretch[]
}

export interface Stretch {
  readonly fromNs: number
  readonly untilNs: number
  readonly verdict: Verdict
}

export interface AlongQuestion {
  readonly profile: Profile
  readonly title: Title
  readonly figure: TimeFigure
  readonly options: JudgeOptions
}

export interface AlongProgress {
  readonly kind: 'judged'
}

/** So many steps are judged; between two that differ the place is looked for to the ns. What is shorter than a step and lies between two that are alike can be missed. */
const STEPS = 16

const MOST_NS: Readonly<Record<TimeKind, number>> = {
  sample: TITLE_LIMITS.maxGapNs,
  edge: TITLE_LIMITS.maxGapNs,
  interval: TITLE_LIMITS.maxGapNs,
  late: TITLE_LIMITS.maxLateNs,
  rise: TITLE_LIMITS.maxSpacingNs,
}

/** @yields before each judgement */
export function* findAlong({
  profile,
  title,
  figure,
  options,
}: AlongQuestion): StepsOfWork<AlongProgress, Along | null> {
  const at = (ns: number): Title => withFigure(title, figure, rangeAt(figure, ns))
  const { minNs, maxNs } = figure.range
  const middleNs = figure.kind === 'late' ? maxNs : Math.floor((minNs + maxNs) / 2)
  const fits = (ns: number): boolean => layOutTitle(at(ns)).ok
  if (!fits(middleNs)) return null
  const leastNs = lastThat(fits, middleNs, 0)
  const mostNs = lastThat(fits, middleNs, Math.min(MOST_NS[figure.kind], Math.max(2 * maxNs, LEAST_SPAN_NS)))

  const known = new Map<number, Verdict>()
  function* verdictAt(ns: number): StepsOfWork<AlongProgress, Verdict> {
    const before = known.get(ns)
    if (before !== undefined) return before
    yield { kind: 'judged' }
    const { verdict } = judge(profile, at(ns), options)
    known.set(ns, verdict)
    return verdict
  }

  const inRange = [minNs, maxNs].filter((ns) => ns >= leastNs && ns <= mostNs)
  const steps = Array.from({ length: STEPS + 1 }, (_, k) =>
    Math.round(leastNs + ((mostNs - leastNs) * k) / STEPS),
  )
  const points = [...new Set([...steps, ...inRange])].sort((p, q) => p - q)
  const stretches: Stretch[] = []
  const add = (fromNs: number, untilNs: number, verdict: Verdict): void => {
    const last = stretches.at(-1)
    if (last?.verdict === verdict) stretches[stretches.length - 1] = { ...last, untilNs }
    else stretches.push({ fromNs, untilNs, verdict })
  }
  /** Between two times that are judged alike nothing else is looked for. */
  function* divide(low: number, high: number): StepsOfWork<AlongProgress, void> {
    const [before, after] = [yield* verdictAt(low), yield* verdictAt(high)]
    if (before === after || high - low <= 1) {
      add(low, before === after ? high : low, before)
      add(high, high, after)
      return
    }
    const middle = Math.floor((low + high) / 2)
    yield* divide(low, middle)
    yield* divide(middle, high)
  }
  for (const [k, ns] of points.entries()) yield* divide(points[Math.max(0, k - 1)] ?? ns, ns)
  return { leastNs, mostNs, stretches }
}

/** So that a figure that is nought can be moved at all. */
const LEAST_SPAN_NS = 1_000

/** From a time that fits towards another one: the last that fits. */
function lastThat(fits: (ns: number) => boolean, from: number, to: number): number {
  if (fits(to)) return to
  let [good, bad] = [from, to]
  while (Math.abs(bad - good) > 1) {
    const ns = Math.trunc((good + bad) / 2)
    if (fits(ns)) good = ns
    else bad = ns
  }
  return good
}
