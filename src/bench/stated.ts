import type { StatedAdapter } from './judgement.ts'
import { STATED } from './stated-times.ts'

/**
 * How far the clock of an adapter may be off: a plain crystal, temperature and age counted (from memory). The link does not
 * state it.
 */
export const ADAPTER_CLOCK_PPM = 100

/** What our adapter states, for judging before one is plugged in; a connected adapter states its own figures. */
export const REFERENCE_ADAPTER: StatedAdapter = {
  replyNs: { minNs: STATED.replyMinNs, maxNs: STATED.replyMaxNs },
  delayStretch: STATED.delayStretch,
  idleResetNs: { minNs: STATED.idleResetMinNs, maxNs: STATED.idleResetMaxNs },
  clockPpm: ADAPTER_CLOCK_PPM,
}

/** Time to spare below which a clean read is called tight. */
export const DEFAULT_MARGIN_NS = 200
