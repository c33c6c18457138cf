import type { Source } from '../../title/evidence.ts'
import type { Title } from '../../title/schema.ts'
import { titleOfShort } from '../../title/title-of-short.ts'
import { partsOf } from '../../title/ways-of-reading.ts'

const PRESET: Source = { kind: 'preset' }

/**
 * Where "Add a title of mine" begins: one cycle a frame, a sample some 2.6 µs after each edge, which is what hand-written
 * reading code that waits two no-ops comes to (from memory).
 */
export const newTitle = (name: string): Title =>
  titleOfShort({
    name,
    notes: '',
    fragile: false,
    standard: '525-line',
    readOffsetsNs: [250_000],
    readJitterNs: 0,
    // A plain crystal, temperature and age counted (from memory).
    clockPpm: 100,
    rest: 'high',
    drive: { kind: 'driven' },
    edgeSpacingNs: { minNs: 4_000, maxNs: 5_000 },
    sampleAfterEdgeNs: { minNs: 2_500, maxNs: 2_700 },
    ...partsOf('first', { cyclesPerRead: 1, rest: 'high' }),
    takesOpposite: true,
    mode: '',
    sources: {
      standard: PRESET,
      readOffsetsNs: PRESET,
      readJitterNs: PRESET,
      clockPpm: PRESET,
      rest: PRESET,
      drive: PRESET,
      edgeSpacingNs: PRESET,
      sampleAfterEdgeNs: PRESET,
      samples: PRESET,
      sixButtons: PRESET,
      takesOpposite: PRESET,
    },
    captures: [],
  })
