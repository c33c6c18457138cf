/** A stick at rest in the hand, as a pad reports it: deterministic noise from a seed. */

/** mulberry32: a small generator, in the public domain; the constants are from memory. */
export function uniform(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}

export interface NoiseModel {
  /** AR(1): how much of the drift is left one report later. */
  readonly memory: number
  /** Spread of what is added to the drift with each report, in axis units. */
  readonly drift: number
  /** How often a report jumps, and by how much at most. */
  readonly spikeShare: number
  readonly spike: number
  /** Steps of the converter over the whole way from end to end. */
  readonly steps: number
}

/** The figures are invented: no source measures the sticks of pads. */
export const WORN_STICK: NoiseModel = { memory: 0.98, drift: 60, spikeShare: 0.01, spike: 500, steps: 255 }

/** One axis that is meant to stand at `target`: AR(1) drift, spikes, then the converter's steps. */
export function noisyAxis(model: NoiseModel, random: () => number): (target: number) => number {
  let drift = 0
  // The sum of four uniform numbers is near enough to a bell.
  const bell = () => random() + random() + random() + random() - 2
  return (target) => {
    drift = model.memory * drift + model.drift * bell()
    const spike = random() < model.spikeShare ? (2 * random() - 1) * model.spike : 0
    const step = 65534 / model.steps
    const value = Math.round((target + drift + spike + 32767) / step) * step - 32767
    return Math.round(Math.max(-32767, Math.min(32767, value)))
  }
}
