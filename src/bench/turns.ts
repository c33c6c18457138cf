import type { RangeNs } from '../port/range.ts'
import type { StepsOfWork } from '../port/steps-of-work.ts'
import type { Profile } from '../profile/schema.ts'
import { timeFigures, withFigure } from '../title/time-figures.ts'
import type { TimeFigure } from '../title/time-figures.ts'
import type { TimeKind } from '../title/times.ts'
import type { Title } from '../title/schema.ts'
import { layOutTitle } from '../title/steps/lay-out-title.ts'
import { judge } from './judge.ts'
import type { Judgement, JudgeOptions, Nearest, Verdict } from './judgement.ts'

/** What would change a verdict: one end of a figure, moved to where the verdict turns. */
export interface Turn {
  readonly end: keyof RangeNs
  /** The last time with which the verdict is what it is, where it gets worse; the first one with which it is another, where it gets better. */
  readonly ns: number
  readonly then: Verdict
}

export interface TurnsQuestion {
  readonly profile: Profile
  readonly title: Title
  readonly judgement: Judgement
  readonly options: JudgeOptions
}

export interface TurnsProgress {
  readonly kind: 'asked'
}

/** For each time figure of the title, in order; `null` where the verdict does not hang on it. */
export type Turns = readonly (Turn | null)[]

/** The figures that the nearest thing to the tightest sample is made of. */
const NEAR: Readonly<Record<Nearest, readonly TimeKind[]>> = {
  edge: ['sample', 'edge'],
  rise: ['rise', 'sample'],
  reset: ['late', 'interval'],
}

/** How often a misread is followed from one sample that comes too soon to the next. */
const MOST_MOVES = 6

/** Where the verdict turns, by the margin that the bench gives; each is judged before it is told. */
export function* findTurns({
  profile,
  title,
  judgement,
  options,
}: TurnsQuestion): StepsOfWork<TurnsProgress, Turns> {
  const turns: (Turn | null)[] = []
  for (const figure of timeFigures(title)) {
    yield { kind: 'asked' }
    // Nothing is known of where a verdict turns for which not all was followed.
    const isNear =
      judgement.isWhole && judgement.tightest !== null && NEAR[judgement.tightest.by].includes(figure.kind)
    turns.push(isNear ? turnOf(profile, title, figure, judgement, options) : null)
  }
  return turns
}

function turnOf(
  profile: Profile,
  title: Title,
  figure: TimeFigure,
  judgement: Judgement,
  options: JudgeOptions,
): Turn | null {
  const judgedWith = (range: RangeNs): Judgement | null => {
    const moved = withFigure(title, figure, range)
    return range.minNs >= 0 && layOutTitle(moved).ok ? judge(profile, moved, options) : null
  }
  if (judgement.verdict === 'misread') return mended(figure.range, judgement, judgedWith)
  if (judgement.marginNs === null) return null
  const spareNs = judgement.marginNs - options.marginNs
  const isWorse = spareNs >= 0
  // Less to spare by one is where a clean verdict ends; what a tight one lacks is where it begins.
  const byNs = isWorse ? spareNs + 1 : -spareNs
  for (const end of ['minNs', 'maxNs'] as const) {
    const towards = (end === 'minNs') === isWorse ? -byNs : byNs
    const ns = figure.range[end] + towards
    const then = judgedWith(withEnd(figure.range, end, ns))?.verdict
    if (then !== undefined && (isWorse ? then !== judgement.verdict : then === 'clean'))
      return { end, ns: isWorse ? ns - Math.sign(towards) : ns, then }
  }
  return null
}

/** How much later a sample that comes too soon has to come, and then the one after it. */
function mended(
  range: RangeNs,
  first: Judgement,
  judgedWith: (range: RangeNs) => Judgement | null,
): Turn | null {
  let ns = range.minNs
  let judgement: Judgement | null = first
  for (let move = 0; move < MOST_MOVES; move++) {
    const shortNs = judgement?.counterexample?.shortNs ?? null
    if (shortNs === null) return null
    // With no margin at all it still is a misread.
    ns += shortNs + 1
    judgement = judgedWith(withEnd(range, 'minNs', ns))
    if (judgement !== null && judgement.verdict !== 'misread')
      return { end: 'minNs', ns, then: judgement.verdict }
  }
  return null
}

/** A range with one end moved; the other end gives way where it must. */
const withEnd = ({ minNs, maxNs }: RangeNs, end: keyof RangeNs, ns: number): RangeNs =>
  end === 'minNs' ? { minNs: ns, maxNs: Math.max(ns, maxNs) } : { minNs: Math.min(minNs, ns), maxNs: ns }
