import type { Source } from '../../title/evidence.ts'
import type { PlainStep, Read, SixButtons, Step, Title } from '../../title/schema.ts'
import { IDENTIFYING_PINS, usualEdge, usualSample, usualStarts } from './step-defaults.ts'
import { newTitle } from './new-title.ts'

/*
 * What most programs do first, as steps to begin with. The habits are those of some 35 open programs that were run; the figures are ours:
 * about twelve cycles of the 7.67 MHz processor from a step to the next (from memory).
 */

const PRESET: Source = { kind: 'preset' }
const TYPED: Source = { kind: 'typed-in' }

type Pattern = Pick<Title, 'idle' | 'rise' | 'modes' | 'sixButtons'>

const after = (minNs: number, maxNs: number): PlainStep['after'] => ({ minNs, maxNs, source: PRESET })
/** The write that opens a read. */
const opening = usualEdge('low', { minNs: 0, maxNs: 0, source: PRESET })
const pulse = [usualEdge('low'), usualEdge('high')]

const lowFirst: readonly PlainStep[] = [opening, usualSample('low'), usualEdge('high'), usualSample('high')]

/** Z, Y, X and Mode after the third rise. */
const extraButtons: PlainStep = {
  ...usualSample('high'),
  sample: { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' },
  when: 'six-buttons',
}
const telling = (name: string): PlainStep => ({ ...usualSample('low'), sample: {}, name })

const NEVER: SixButtons = { kind: 'never', source: PRESET }
const told = (sample: string, level: 'low' | 'high'): SixButtons => ({
  kind: 'told',
  by: [{ sample, low: [], high: [], [level]: [...IDENTIFYING_PINS] }],
  holds: 'read',
  source: PRESET,
})

const once = (
  steps: readonly PlainStep[],
  sixButtons: SixButtons = NEVER,
  starts: Read['starts'] = usualStarts('frame', 0),
): Pattern => ({
  idle: 'high',
  rise: null,
  modes: [{ once: false, reads: [{ starts, steps }] }],
  sixButtons,
})

/** As a new title begins. */
function highFirst(): Pattern {
  const { idle, rise, modes, sixButtons } = newTitle('-')
  return { idle, rise, modes, sixButtons }
}

const PATTERNS = {
  'low-first': () => once(lowFirst),
  'high-first': highFirst,
  'six-by-identification': () =>
    once(
      [
        ...lowFirst,
        ...pulse,
        usualEdge('low'),
        telling('identification'),
        usualEdge('high'),
        extraButtons,
        ...pulse,
      ],
      told('identification', 'low'),
    ),
  'six-by-end-mark': () =>
    once(
      [
        ...lowFirst,
        ...pulse,
        ...pulse,
        extraButtons,
        usualEdge('low'),
        telling('end-mark'),
        usualEdge('high'),
      ],
      told('end-mark', 'high'),
    ),
  released: () => ({
    ...once([
      opening,
      usualSample('low', after(2_500, 2_700)),
      usualEdge('release', after(400, 600)),
      usualSample('high', after(25_000, 26_000)),
    ]),
    // About 172 cycles of that processor, 22 µs, on one model (from memory).
    rise: after(15_000, 22_000),
  }),
  polling: () => once(lowFirst, NEVER, usualStarts('interval', 0)),
} satisfies Record<string, () => Pattern>

export type ReadyPattern = keyof typeof PATTERNS
export const READY_PATTERNS = Object.keys(PATTERNS) as ReadyPattern[]

/** The title with the steps of a ready pattern in place of its own. Whoever chooses it has said what is sampled, and no more. */
export function withPattern(title: Title, pattern: ReadyPattern): Title {
  const { modes, sixButtons, ...others } = PATTERNS[pattern]()
  const said = (step: Step): Step => ('sample' in step ? { ...step, source: TYPED } : step)
  return {
    ...title,
    ...others,
    sixButtons: { ...sixButtons, source: TYPED },
    modes: modes.map((mode) => ({
      ...mode,
      reads: mode.reads.map((read) => ({ ...read, steps: read.steps.map(said) })),
    })),
    sources: { ...title.sources, idle: PRESET },
  }
}
