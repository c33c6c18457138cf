/** What our adapter states about its timing (LINK.md, identify): the firmware sends it, the bench judges with it before one is plugged in. */

/** One cycle of the chip's clock. */
const CYCLE_NS = 8
/** What the Schmitt buffer in and the line driver out add together, from nothing up to this. A budget: to be measured on a board. */
const BUFFERS_NS = 44

export const STATED_TABLE = {
  source: 'src/adapter/stated.table.ts',
  about: 'Times that the adapter states, from its own connector and back to it: no cable is counted.',
  typescript: 'src/bench/stated-times.ts',
  c: 'src/adapter/firmware/stated-times.h',
  blocks: [
    {
      kind: 'numbers',
      says: [
        'From an edge of select to six settled pins: 4 to 6 cycles of 8 ns, and up to one more because an edge may come anywhere in a cycle;',
        `buffers add ${BUFFERS_NS} ns at the most (a budget; to be measured on a board). The idle reset is decided never early, and reaches the pins`,
        'by DMA at most 22 cycles after its time, and then through the same driver.',
      ].join('\n'),
      typescript: { object: 'STATED' },
      c: { prefix: 'STATED_', as: 'enum' },
      of: [
        { name: 'replyMinNs', value: 4 * CYCLE_NS },
        { name: 'replyMaxNs', value: 7 * CYCLE_NS + BUFFERS_NS },
        {
          name: 'delayStretch',
          value: 1,
          says: 'with a deliberate delay `d` the reply comes up to so many times `d` later still',
        },
        { name: 'idleResetMinNs', value: 0, says: 'against the time that the profile asks for' },
        { name: 'idleResetMaxNs', value: 22 * CYCLE_NS + BUFFERS_NS },
      ],
    },
  ],
} as const
