/**
 * How a delay is distributed, without rounding. The probability of at most `x` ns is kept as a sum of truncated powers,
 *
 *     F(x) = Σ weight · max(0, x − atNs)ⁿ / n!   over a common denominator,
 *
 * in whole numbers of any size. Fixed times, even ranges and waits for a periodic moment all have this form, and so has the sum of
 * two independent delays: places and orders add, weights multiply. Probabilities and quantiles follow exactly.
 */
export interface Law {
  /** Least and most that the delay can be, in ns. */
  readonly minNs: number
  readonly maxNs: number
  readonly denominator: bigint
  readonly terms: readonly Term[]
}

/** One truncated power. Order 0 is a step, which `x = atNs` has already taken. */
interface Term {
  readonly atNs: number
  readonly order: number
  readonly weight: bigint
}

/** Always this long. */
export const fixed = (ns: number): Law => law(ns, ns, 1n, [{ atNs: ns, order: 0, weight: 1n }])

/** Anything from `minNs` to `maxNs`, all equally likely. */
export function even(minNs: number, maxNs: number): Law {
  if (minNs === maxNs) return fixed(minNs)
  return law(minNs, maxNs, BigInt(maxNs - minNs), [
    { atNs: minNs, order: 1, weight: 1n },
    { atNs: maxNs, order: 1, weight: -1n },
  ])
}

/** Two delays one after the other, neither hanging on the other. */
export function sum(one: Law, other: Law): Law {
  const terms = one.terms.flatMap((p) =>
    other.terms.map((q) => ({
      atNs: p.atNs + q.atNs,
      order: p.order + q.order,
      weight: p.weight * q.weight,
    })),
  )
  return law(one.minNs + other.minNs, one.maxNs + other.maxNs, one.denominator * other.denominator, terms)
}

/** One end of a wait: as it stands, or jitter makes it shorter, or two jitters make it shorter and longer. */
export interface WaitEnd {
  readonly ns: number
  readonly moved: 'not' | 'shorter' | 'both-ways'
}

/** A stretch of time in which the wait shrinks evenly, as a wait does, from its longest to its shortest. */
export interface Stretch {
  readonly longest: WaitEnd
  readonly shortest: WaitEnd
}

/**
 * The wait for something periodic, from a moment that is any of the period, all equally likely. The period falls into stretches;
 * each jitter is even from 0 to `jitterNs` and independent of the others. The density at `x` is then the share of stretches that have begun by `x` and
 * have not ended, and that is what the terms add up.
 */
export function waitLaw(periodNs: number, jitterNs: number, stretches: readonly Stretch[]): Law {
  const j = BigInt(jitterNs)
  const scale = jitterNs === 0 ? 1n : j * j
  const terms = stretches.flatMap(({ shortest, longest }) => [
    ...passed(shortest, jitterNs, scale),
    ...passed(longest, jitterNs, -scale),
  ])
  return law(
    Math.min(...stretches.map(({ shortest }) => leastOf(shortest, jitterNs))),
    Math.max(...stretches.map(({ longest }) => mostOf(longest, jitterNs))),
    BigInt(periodNs) * scale,
    terms,
  )
}

const leastOf = ({ ns, moved }: WaitEnd, jitterNs: number): number => (moved === 'not' ? ns : ns - jitterNs)
const mostOf = ({ ns, moved }: WaitEnd, jitterNs: number): number =>
  moved === 'both-ways' ? ns + jitterNs : ns

/** The probability that `x` has passed an end, integrated up to `x`; `weight` stands for 1 and is a multiple of the jitter squared. */
function passed({ ns, moved }: WaitEnd, jitterNs: number, weight: bigint): Term[] {
  if (moved === 'not' || jitterNs === 0) return [{ atNs: ns, order: 1, weight }]
  const once = weight / BigInt(jitterNs)
  if (moved === 'shorter')
    return [
      { atNs: ns - jitterNs, order: 2, weight: once },
      { atNs: ns, order: 2, weight: -once },
    ]
  const twice = once / BigInt(jitterNs)
  return [
    { atNs: ns - jitterNs, order: 3, weight: twice },
    { atNs: ns, order: 3, weight: -2n * twice },
    { atNs: ns + jitterNs, order: 3, weight: twice },
  ]
}

/** Probability of at most `ns`, as a number from 0 to 1. */
export function probabilityBy(of: Law, ns: number): number {
  const [part, whole] = shareBy(of, ns)
  const BITS = 52n
  return Number((part << BITS) / whole) / 2 ** Number(BITS)
}

/** The least whole ns that a delay keeps to with a probability of at least `percent`. */
export function quantileNs(of: Law, percent: number): number {
  const reached = (ns: number): boolean => {
    const [part, whole] = shareBy(of, ns)
    return part * 100n >= whole * BigInt(percent)
  }
  let low = of.minNs
  let high = of.maxNs
  while (low < high) {
    const middle = Math.floor((low + high) / 2)
    if (reached(middle)) high = middle
    else low = middle + 1
  }
  return low
}

/** Probability of at most `ns`, as an exact fraction. */
function shareBy({ denominator, terms }: Law, ns: number): [part: bigint, whole: bigint] {
  const highest = Math.max(...terms.map(({ order }) => order))
  let part = 0n
  for (const { atNs, order, weight } of terms) {
    if (atNs > ns) continue
    part += weight * BigInt(ns - atNs) ** BigInt(order) * product(order + 1, highest)
  }
  return [part, denominator * product(1, highest)]
}

/** `from · (from + 1) … to`; 1 where there is nothing to multiply. */
function product(from: number, to: number): bigint {
  let all = 1n
  for (let k = from; k <= to; k++) all *= BigInt(k)
  return all
}

/** Terms of one place and order are one term. */
function law(minNs: number, maxNs: number, denominator: bigint, terms: readonly Term[]): Law {
  const merged = new Map<string, Term>()
  for (const term of terms) {
    const key = `${term.order} ${term.atNs}`
    const weight = term.weight + (merged.get(key)?.weight ?? 0n)
    if (weight === 0n) merged.delete(key)
    else merged.set(key, { ...term, weight })
  }
  return { minNs, maxNs, denominator, terms: [...merged.values()] }
}
