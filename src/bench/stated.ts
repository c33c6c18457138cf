import type { CabledAdapter, StatedAdapter } from './judgement.ts'
import { STATED } from './stated-times.ts'

/**
 * How far the clock of an adapter may be off: a plain crystal, temperature and age counted (from memory). The link does not
 * state it.
 */
export const ADAPTER_CLOCK_PPM = 100

/** What our adapter states, before one is plugged in; a connected adapter states its own figures. */
export const OUR_STATED: StatedAdapter = {
  replyNs: { minNs: STATED.replyMinNs, maxNs: STATED.replyMaxNs },
  delayStretch: STATED.delayStretch,
  idleResetNs: { minNs: STATED.idleResetMinNs, maxNs: STATED.idleResetMaxNs },
  clockPpm: ADAPTER_CLOCK_PPM,
}

/** Our adapter as a title meets it as long as nobody has said which cable there is. */
export const REFERENCE_ADAPTER: CabledAdapter = { ...OUR_STATED, cable: 'unknown' }

/** Time to spare below which a clean read is called tight. */
export const DEFAULT_MARGIN_NS = 200
