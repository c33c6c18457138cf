const soon = { minNs: 1_400, maxNs: 1_700 }
const HASH = '0123456789abcdef'.repeat(4)

/**
 * A title file as somebody writes it by hand: the same cycle twice, then the identification, then the extra buttons. What may be left
 * out is left out.
 */
export const HAND_TITLE = {
  format: 'ninepin-title',
  version: 3,
  name: 'Nine Moths',
  notes: '',
  fragile: false,
  port: 'select-line',
  standard: '525-line',
  clockPpm: 100,
  idle: 'high',
  rise: null,
  modes: [
    {
      reads: [
        {
          starts: { kind: 'frame', offsetsNs: [180_000], late: { minNs: 0, maxNs: 2_000 } },
          steps: [
            {
              repeat: 2,
              steps: [
                { select: 'low', after: soon },
                { sample: { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }, after: soon },
                { select: 'high', after: soon },
                { sample: { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }, after: soon },
              ],
            },
            { select: 'low', after: soon },
            {
              sample: {},
              name: 'six',
              after: soon,
              source: { kind: 'measured', seen: 59, of: 60, capture: HASH },
            },
            { select: 'high', after: soon },
            { sample: { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }, after: soon, when: 'six-buttons' },
            { select: 'low', after: soon },
            { select: 'high', after: soon },
          ],
        },
      ],
    },
  ],
  sixButtons: { kind: 'told', by: [{ sample: 'six', low: [1, 2, 3, 4] }], holds: 'read' },
  takesOpposite: true,
  captures: [{ sha256: HASH, name: 'evening.vcd', bytes: 40_000 }],
} as const
