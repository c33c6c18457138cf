import type { StatedAdapter } from './judgement.ts'

/**
 * How far the clock of an adapter may be off: a plain crystal, temperature and age counted (from memory). The link does not
 * state it.
 */
export const ADAPTER_CLOCK_PPM = 100

/**
 * What our adapter is built to keep at the connector, for judging before one is plugged in; a connected adapter states
 * its own figures. 4 to 12 cycles of 8 ns for the reply and 7 to 17 for the idle reset, buffers not counted apart.
 */
export const REFERENCE_ADAPTER: StatedAdapter = {
  replyNs: { minNs: 32, maxNs: 100 },
  delayStretch: 1,
  idleResetNs: { minNs: 56, maxNs: 136 },
  clockPpm: ADAPTER_CLOCK_PPM,
}

/** Time to spare below which a clean read is called tight. */
export const DEFAULT_MARGIN_NS = 200
