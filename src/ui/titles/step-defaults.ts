import { PINS } from '../../port/pins.ts'
import type { Level } from '../../port/pins.ts'
import type { Source } from '../../title/evidence.ts'
import type { PlainStep, Read, SampleStep, SelectStep, Step, Takes } from '../../title/schema.ts'
import { plainSample } from '../../title/ways-of-reading.ts'

/* What stands in a step before anybody has typed in it. */

const PRESET: Source = { kind: 'preset' }

/** Some twelve cycles of the 7.67 MHz processor from a step to the next (from memory). */
const SOON = { minNs: 1_400, maxNs: 1_700, source: PRESET }

/** About 172 cycles of that processor, 22 µs, on one model (from memory). */
export const USUAL_RISE = { minNs: 15_000, maxNs: 30_000, source: PRESET }

/** What a three-button title takes from a sample at that level. */
const usualTakes = (level: Level): Takes => plainSample(1, level).pins

export const usualSample = (level: Level, after: PlainStep['after'] = SOON): SampleStep => ({
  sample: usualTakes(level),
  after,
  since: 'step',
  when: 'always',
  source: PRESET,
})

export const usualEdge = (select: SelectStep['select'], after: PlainStep['after'] = SOON): SelectStep => ({
  select,
  after,
  since: 'step',
  waits: false,
  when: 'always',
})

/** What most often comes next to a step: a sample after an edge, an edge after a sample. */
export const usualStep = (neighbour: Step | undefined, level: Level): PlainStep =>
  neighbour !== undefined && 'select' in neighbour
    ? usualSample(level)
    : usualEdge(level === 'low' ? 'high' : 'low')

/** How a read of a mode starts that has been tied to the frame, or to none, just now. */
export const usualStarts = (kind: Read['starts']['kind'], k: number): Read['starts'] =>
  kind === 'interval'
    ? { kind, after: { minNs: 3_000_000, maxNs: 5_000_000, source: PRESET } }
    : {
        kind,
        offsetsNs: [250_000 + k * 2_000_000],
        everyFrames: 1,
        inFrame: 0,
        late: { minNs: 0, maxNs: 0, source: PRESET },
        source: PRESET,
      }

export const USUAL_STRETCH: NonNullable<Read['stretch']> = { byNs: 60_000, times: 1, source: PRESET }

/** Pins that are all low where a six-button pad identifies itself (common practice, no source). */
export const IDENTIFYING_PINS = PINS.slice(0, 4)
