import type { Along } from '../../bench/along.ts'
import type { Verdict } from '../../bench/judgement.ts'

/** A stretch of the scale as it is drawn, in hundredths of its width. */
export interface DrawnStretch {
  readonly verdict: Verdict
  readonly fromPercent: number
  readonly widthPercent: number
}

const SMALLEST_STEPS = [1, 2, 5] as const

/** About so many steps of the slider from end to end: each is still reached by key. */
const STEPS = 150

/** What one step of the slider is: 1, 2 or 5 and noughts, in ns. */
export function stepNs({ leastNs, mostNs }: Along): number {
  const asked = (mostNs - leastNs) / STEPS
  for (let unit = 1; ; unit *= 10)
    for (const one of SMALLEST_STEPS) if (one * unit >= asked) return one * unit
}

/** The ends of the slider, which begins at a whole step, so that what it says are round figures. */
export function sliderEnds(along: Along): {
  readonly min: number
  readonly max: number
  readonly step: number
} {
  const step = stepNs(along)
  const min = Math.ceil(along.leastNs / step) * step
  return { min, max: Math.max(min, Math.floor(along.mostNs / step) * step), step }
}

/** Where a time stands on the scale. */
export const percentAt = (
  { min, max }: { readonly min: number; readonly max: number },
  ns: number,
): number => (max === min ? 0 : Math.min(100, Math.max(0, ((ns - min) / (max - min)) * 100)))

/** The scale, without what is past the ends of the slider. */
export function drawnStretches(along: Along): DrawnStretch[] {
  const ends = sliderEnds(along)
  return along.stretches.flatMap(({ fromNs, untilNs, verdict }) => {
    const fromPercent = percentAt(ends, fromNs)
    // Each stretch goes on to where the next begins.
    const widthPercent = percentAt(ends, untilNs + 1) - fromPercent
    return widthPercent <= 0 ? [] : [{ verdict, fromPercent, widthPercent }]
  })
}

/** What a figure is judged as at one time. */
export const verdictAt = ({ stretches }: Along, ns: number): Verdict | null =>
  stretches.find(({ fromNs, untilNs }) => fromNs <= ns && ns <= untilNs)?.verdict ?? null

/** Numbers of cycles that are judged alike, one after the other. */
export interface CycleRun {
  readonly verdict: Verdict
  readonly from: number
  readonly until: number
}

/** @param verdicts with the first cycle, with the first two, and so on */
export function cycleRuns(verdicts: readonly Verdict[]): CycleRun[] {
  const runs: CycleRun[] = []
  for (const [k, verdict] of verdicts.entries()) {
    const last = runs.at(-1)
    if (last?.verdict === verdict) runs[runs.length - 1] = { ...last, until: k + 1 }
    else runs.push({ verdict, from: k + 1, until: k + 1 })
  }
  return runs
}

/** Each number of cycles as far as half the way to the next. */
export const drawnCycles = (runs: readonly CycleRun[], most: number): DrawnStretch[] =>
  runs.map(({ verdict, from, until }) => {
    const fromPercent = percentAt({ min: 1, max: most }, from - 0.5)
    return { verdict, fromPercent, widthPercent: percentAt({ min: 1, max: most }, until + 0.5) - fromPercent }
  })
