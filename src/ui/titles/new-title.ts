import { TITLE_FORMAT, TITLE_VERSION } from '../../title/schema.ts'
import type { Title } from '../../title/schema.ts'
import { partsOf } from '../../title/ways-of-reading.ts'
import { t } from './new-title-texts.ts'

/**
 * Where "Add a title of mine" begins: one cycle a frame, a sample some 2.6 µs after each edge, which is what hand-written
 * reading code that waits two no-ops comes to (from memory).
 */
export const NEW_TITLE: Title = {
  format: TITLE_FORMAT,
  version: TITLE_VERSION,
  get name() {
    return t.name
  },
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
}
