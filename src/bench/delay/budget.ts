import { probabilityBy, quantileNs, sum } from './law.ts'
import type { Law } from './law.ts'

/** One part of a delay, on its own. */
export interface Stage {
  readonly what: string
  readonly law: Law
}

/** A delay in figures, all whole ns: with even odds it is `medianNs` at the most, 95 times in 100 `p95Ns`. */
export interface DelayFigures {
  readonly minNs: number
  readonly medianNs: number
  readonly p95Ns: number
  readonly maxNs: number
}

export interface DelayRow extends DelayFigures {
  readonly what: string
}

/** Value `k` is the share of delays above `fromNs + k·stepNs` and up to `fromNs + (k+1)·stepNs`; the first takes its left end in. */
export interface Density {
  readonly fromNs: number
  readonly stepNs: number
  readonly values: readonly number[]
}

export interface DelayBudget {
  readonly rows: readonly DelayRow[]
  readonly total: DelayFigures
  readonly density: Density
}

/** About as many bars as a drawing has room for. */
const BARS = 120

export function figuresOf(law: Law): DelayFigures {
  return {
    minNs: law.minNs,
    medianNs: quantileNs(law, 50),
    p95Ns: quantileNs(law, 95),
    maxNs: law.maxNs,
  }
}

/**
 * Adds up the parts of a delay, at least one, none of which hangs on another. Figures are exact: the least whole ns that satisfies the
 * definition, with no grid in between.
 */
export function delayBudget(stages: readonly Stage[]): DelayBudget {
  const total = stages.map(({ law }) => law).reduce(sum)
  return {
    rows: stages.map(({ what, law }) => ({ what, ...figuresOf(law) })),
    total: figuresOf(total),
    density: densityOf(total),
  }
}

function densityOf(law: Law): Density {
  const stepNs = Math.max(1, Math.ceil((law.maxNs - law.minNs) / BARS))
  const bars = Math.max(1, Math.ceil((law.maxNs - law.minNs) / stepNs))
  const values: number[] = []
  let before = 0
  for (let k = 1; k <= bars; k++) {
    const by = probabilityBy(law, law.minNs + k * stepNs)
    values.push(by - before)
    before = by
  }
  return { fromNs: law.minNs, stepNs, values }
}
