/**
 * Clocks of the console, derived as exact fractions from their defining constants; nothing is rounded before the end.
 */

/** The two video standards, named by their lines a frame. */
export const VIDEO_STANDARDS = ['525-line', '625-line'] as const
export type VideoStandard = (typeof VIDEO_STANDARDS)[number]

interface ClockChain {
  /** Colour subcarrier in Hz as a fraction. Source: ITU-R BT.1700 / SMPTE 170M. */
  readonly subcarrierHz: readonly [numerator: number, denominator: number]
  /** Master clock over subcarrier (from memory). */
  readonly masterPerSubcarrier: number
  /** Lines in a non-interlaced frame (from memory). */
  readonly linesPerFrame: number
}

const CHAINS: Record<VideoStandard, ClockChain> = {
  '525-line': { subcarrierHz: [315_000_000, 88], masterPerSubcarrier: 15, linesPerFrame: 262 },
  '625-line': { subcarrierHz: [443_361_875, 100], masterPerSubcarrier: 12, linesPerFrame: 313 },
}

/** Master clocks in one line (from memory). */
const MASTER_PER_LINE = 3420

export const subcarrierHz = (standard: VideoStandard): number => {
  const [numerator, denominator] = CHAINS[standard].subcarrierHz
  return numerator / denominator
}

export const masterHz = (standard: VideoStandard): number =>
  subcarrierHz(standard) * CHAINS[standard].masterPerSubcarrier

export const lineHz = (standard: VideoStandard): number => masterHz(standard) / MASTER_PER_LINE

export const frameHz = (standard: VideoStandard): number => lineHz(standard) / CHAINS[standard].linesPerFrame

/** Length of a frame in whole nanoseconds (nearest). */
export const frameNs = (standard: VideoStandard): number => Math.round(1e9 / frameHz(standard))
