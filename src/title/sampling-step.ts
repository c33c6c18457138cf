/** So unlikely is it, at the most, that what is taken for shown by many edges, or reads, came by chance. */
const HARDLY = 1e-12
/** A step below this, in ns, hides nothing that a pad could see, and may be one of the clock that a simulation runs on. */
const LEAST_STEP_NS = 20
/** Rates of analysers whose samples lie at no whole ns, in Hz; they are common, no source. */
export const ODD_RATES_HZ = [48e6, 24e6, 16e6, 12e6, 6e6, 3e6]
/** Rates that hide edges, in Hz: analysers have whole kHz (common, no source). */
const SLOW_RATES_HZ = Array.from({ length: 980 }, (_, k) => 1_000 * (20 + k))
/** Two writes of a program to one port lie at least 8 cycles apart: back-to-back move instructions take 1 to 2 µs (from memory). */
const LEAST_WRITE_NS = 1_000

/** Whether samples so far apart, in ns, can miss a phase that a program makes. */
export const canHideEdges = (sampledNs: number | null): boolean =>
  sampledNs !== null && sampledNs > LEAST_WRITE_NS

/**
 * Whether samples can have missed the same phase in each of so many reads that look alike. A read begins anywhere between two samples, since an
 * analyser runs on a clock of its own, so a sample falls into the phase with a chance of its length over their distance. It does not show as a phase where the
 * samples around it are at its level, too, but then the edges next to it move.
 */
export const canHideInAll = (sampledNs: number, reads: number): boolean =>
  (1 - LEAST_WRITE_NS / sampledNs) ** reads > HARDLY

/**
 * Whether edges that a steady clock has at one place are seen within so much, in ns, that none of them is now of one phase and now of another. Samples move an edge by up to
 * their distance. Where they miss the phases before or after it, it moves by two more phases: whatever their lengths were, in some millions of reads that
 * were drawn.
 */
export const isOfOnePhase = (spreadNs: number, sampledNs: number): boolean =>
  spreadNs <= sampledNs + LEAST_WRITE_NS

/** The most cycles that a program can make from an edge to another one that is seen so long after it, in ns. */
export const mostCyclesIn = (seenNs: number, sampledNs: number): number =>
  Math.floor(((seenNs + sampledNs) / LEAST_WRITE_NS + 1) / 2)

/** The step on which all edges of a line lie, in ns, as they do where it was sampled; `null` where there is none that matters. */
export function samplingStepNs(timesNs: Float64Array): number | null {
  // The first entry is where the capture begins.
  const isShown = (ns: number): boolean => ns ** (2 - timesNs.length) < HARDLY
  const originNs = timesNs[1] ?? 0
  let step = 0
  for (let k = 2; k < timesNs.length && (step === 0 || step >= LEAST_STEP_NS); k++)
    step = greatestCommonStep(Math.round((timesNs[k] ?? 0) - originNs), step)
  // Rates are whole kHz.
  const even = greatestCommonStep(step, 1e6)
  if (even >= LEAST_STEP_NS) return isShown(even) ? even : null
  const odd = [...ODD_RATES_HZ, ...SLOW_RATES_HZ]
    .map((hz) => 1e9 / hz)
    .filter((ns) => isShown(ns) && isOnStep(timesNs, ns))
  return odd.length === 0 ? null : Math.max(...odd)
}

/** Whether all times lie on a step that is not a whole number of ns, rounded or cut to whole ns. The first is left out: the capture begins there. */
export const isOnStep = (timesNs: Float64Array, stepNs: number): boolean =>
  timesNs.every((atNs, k) => k === 0 || Math.abs(atNs - Math.round(atNs / stepNs) * stepNs) <= 0.5001) ||
  timesNs.every((atNs, k) => k === 0 || Math.ceil(atNs / stepNs - 1e-4) * stepNs - atNs < 1)

export function greatestCommonStep(a: number, b: number): number {
  while (b !== 0) [a, b] = [b, a % b]
  return a
}
