// Written by `npm run tables` from src/adapter/stated.table.ts; change it there.

/** Times that the adapter states, from its own connector and back to it: no cable is counted. */

/**
 * From an edge of select to six settled pins: 4 to 6 cycles of 8 ns, and up to one more because an edge may come anywhere in a cycle;
 * buffers add 44 ns at the most (a budget; to be measured on a board). The idle reset is decided never early, and reaches the pins
 * by DMA at most 22 cycles after its time, and then through the same driver.
 */
export const STATED = {
  replyMinNs: 32,
  replyMaxNs: 100,
  /** With a deliberate delay `d` the reply comes up to so many times `d` later still. */
  delayStretch: 1,
  /** Against the time that the profile asks for. */
  idleResetMinNs: 0,
  idleResetMaxNs: 220,
} as const
