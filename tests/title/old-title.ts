/** A title file as version 2 wrote it, with every kind of field: files that people have look like this. */
export const OLD_TITLE = {
  format: 'ninepin-title',
  version: 2,
  name: 'Nine Moths',
  notes: 'Looks for six buttons in the third low and then reads X, Y, Z and Mode.',
  fragile: false,
  standard: '525-line',
  readOffsetsNs: [180_000],
  readJitterNs: 0,
  clockPpm: 100,
  cyclesPerRead: 4,
  edgeSpacingNs: { minNs: 2_600, maxNs: 2_800 },
  sampleAfterEdgeNs: { minNs: 1_950, maxNs: 2_000 },
  rest: 'high',
  drive: { kind: 'driven' },
  samples: [
    {
      cycle: 1,
      level: 'high',
      pins: { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' },
      when: 'always',
    },
    { cycle: 1, level: 'low', pins: { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }, when: 'always' },
    { cycle: 4, level: 'high', pins: { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }, when: 'six-buttons' },
  ],
  sixButtons: { kind: 'identified', cycle: 3, level: 'low', lowPins: [1, 2, 3, 4] },
  takesOpposite: true,
} as const
