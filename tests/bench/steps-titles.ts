import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'

/**
 * Titles as somebody writes them by hand, one for each habit in port-facts ("How programs read", 35 open programs that were run) and for each
 * thing that a title file can say. Figures are ours, in steps of the 7.67 MHz processor where code makes them.
 */

type Json = Record<string, unknown>

const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })
const between = (minNs: number, maxNs: number) => ({ minNs, maxNs })

/** Twelve cycles or so of that processor from a step to the next: about 1.5 µs. */
const SOON = between(1_400, 1_700)

const select = (level: 'low' | 'high' | 'release', after = SOON, more: Json = {}): Json => ({
  select: level,
  after,
  ...more,
})
const sample = (pins: Json, after = SOON, more: Json = {}): Json => ({ sample: pins, after, ...more })

const LOW = { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
const HIGH = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }
const EXTRA = { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }

const inFrame = (offsetsNs: number[] = [250_000], more: Json = {}): Json => ({
  kind: 'frame',
  offsetsNs,
  late: between(0, 2_000),
  ...more,
})

/** Low first, a sample, high, and a sample after that rise: what 28 of 30 programs do. */
const LOW_FIRST = [select('low', exactly(0)), sample(LOW), select('high'), sample(HIGH)]

const read = (steps: readonly Json[], starts = inFrame(), more: Json = {}): Json => ({
  starts,
  steps,
  ...more,
})

export function title(name: string, reads: readonly Json[], more: Json = {}): Title {
  const document = {
    format: 'ninepin-title',
    version: 3,
    name,
    notes: '',
    fragile: false,
    port: 'select-line',
    standard: '525-line',
    clockPpm: 100,
    idle: 'high',
    rise: null,
    modes: [{ reads }],
    sixButtons: { kind: 'never' },
    takesOpposite: true,
    ...more,
  }
  const title = readTitle(new TextEncoder().encode(JSON.stringify(document)))
  if (!title.ok) throw new Error(`${name}: ${title.error.place}: ${title.error.message}`)
  return title.value
}

const pulses = (n: number): Json[] => Array.from({ length: n }, () => [select('low'), select('high')]).flat()

/** Low first four times over; six buttons by what the third low shows, the extra buttons after the third rise. */
const sixLowFirst = (more: Json = {}): Json[] => [
  select('low', exactly(0)),
  sample(LOW),
  select('high'),
  sample(HIGH),
  ...pulses(1),
  select('low'),
  sample({}, SOON, { name: 'six' }),
  select('high'),
  sample(EXTRA, SOON, { when: 'six-buttons', ...more }),
  select('low'),
  select('high'),
]

const told = (by: readonly Json[], holds = 'read'): Json => ({ sixButtons: { kind: 'told', by, holds } })
const BY_IDENTIFICATION = [{ sample: 'six', low: [1, 2, 3, 4] }]

/** What is expected of each in front of a three-button and a six-button pad. */
export interface Case {
  readonly title: Title
  readonly three: 'right' | 'wrong'
  readonly six: 'right' | 'wrong'
}

const of = (title: Title, three: Case['three'], six: Case['six']): Case => ({ title, three, six })

export const CASES: readonly Case[] = [
  of(title('low first, a sample after the closing rise', [read(LOW_FIRST)]), 'right', 'right'),
  of(
    title('two samples in one phase', [
      read([
        select('low', exactly(0)),
        sample(LOW, between(600, 700)),
        sample(LOW, between(600, 700)),
        select('high'),
        sample(HIGH),
      ]),
    ]),
    'right',
    'right',
  ),
  of(
    title(
      'phases of unlike length, for a slow rise',
      [
        read([
          select('low', exactly(0)),
          sample(LOW, between(2_500, 2_700)),
          select('release', between(400, 600)),
          sample(HIGH, between(25_000, 26_000)),
        ]),
      ],
      { rise: between(15_000, 22_000) },
    ),
    'right',
    'right',
  ),
  of(
    title(
      'the same, too soon for the rise',
      [
        read([
          select('low', exactly(0)),
          sample(LOW, between(2_500, 2_700)),
          select('release', between(400, 600)),
          sample(HIGH, between(20_000, 21_000)),
        ]),
      ],
      { rise: between(15_000, 22_000) },
    ),
    'wrong',
    'wrong',
  ),
  of(
    title('edges 4 ms apart', [
      read([
        select('low', exactly(0)),
        sample(LOW),
        select('high', between(4_000_000, 4_100_000)),
        sample(HIGH),
      ]),
    ]),
    'right',
    'right',
  ),
  of(
    title('unlike reads in one frame, too close for six buttons', [
      read(LOW_FIRST, inFrame([200_000])),
      read(
        [select('low', exactly(0)), sample(LOW), ...pulses(1), select('high'), sample(HIGH)],
        inFrame([400_000]),
      ),
      read(LOW_FIRST, inFrame([600_000])),
    ]),
    'right',
    'wrong',
  ),
  of(
    title('halves of one read in two frames', [
      read([select('low', exactly(0)), sample(LOW)], inFrame([250_000], { everyFrames: 2, inFrame: 0 })),
      read([select('high', exactly(0)), sample(HIGH)], inFrame([250_000], { everyFrames: 2, inFrame: 1 })),
    ]),
    'right',
    'right',
  ),
  of(
    title(
      'identification once a second, extra buttons in every read',
      [
        read(
          [...pulses(2), select('low'), sample({}, SOON, { name: 'six' }), select('high')],
          inFrame([100_000], { everyFrames: 60, inFrame: 0 }),
        ),
        read(
          [
            select('low', exactly(0)),
            sample(LOW),
            select('high'),
            sample(HIGH),
            ...pulses(2),
            sample(EXTRA, SOON, { when: 'six-buttons' }),
          ],
          inFrame([8_000_000]),
        ),
      ],
      told(BY_IDENTIFICATION, 'onwards'),
    ),
    'wrong',
    'right',
  ),
  of(
    title('told once at start, then six for good', [read(LOW_FIRST)], {
      ...told(BY_IDENTIFICATION, 'onwards'),
      modes: [
        {
          name: 'at start',
          once: true,
          reads: [read([...pulses(2), select('low'), sample({}, SOON, { name: 'six' }), select('high')])],
        },
        {
          name: 'in play',
          reads: [
            read([
              select('low', exactly(0)),
              sample(LOW),
              select('high'),
              sample(HIGH),
              ...pulses(2),
              sample(EXTRA, SOON, { when: 'six-buttons' }),
              select('low'),
              select('high'),
            ]),
          ],
        },
      ],
    }),
    'wrong',
    // Whatever was counted before the title looked is what it believes for good.
    'wrong',
  ),
  // The two frames of the mode at start: one leaves two rises behind just before play begins, where it is the last one of the mode.
  ...(['first', 'last'] as const).map((hurts) =>
    of(
      title(`play begins right after the ${hurts} frame of the mode at start`, [], {
        modes: [
          {
            name: 'at start',
            once: true,
            reads: [
              read(pulses(2), inFrame([16_600_000], { everyFrames: 2, inFrame: hurts === 'first' ? 0 : 1 })),
              read(pulses(2), inFrame([8_000_000], { everyFrames: 2, inFrame: hurts === 'first' ? 1 : 0 })),
            ],
          },
          { name: 'in play', reads: [read(LOW_FIRST, inFrame([300_000]))] },
        ],
      }),
      'right',
      'wrong',
    ),
  ),
  // Up and Down held together on a three-button pad are the identification: pins 3 and 4 are low there anyway.
  of(title('told by the identification', [read(sixLowFirst())], told(BY_IDENTIFICATION)), 'wrong', 'right'),
  of(
    title(
      'told by the end mark',
      [
        read([
          ...sixLowFirst()
            .slice(0, -2)
            .filter((step) => step['name'] !== 'six'),
          select('low'),
          sample({}, SOON, { name: 'mark' }),
          select('high'),
        ]),
      ],
      told([{ sample: 'mark', high: [1, 2, 3, 4] }]),
    ),
    'right',
    'right',
  ),
  of(
    title('told by two of the pins', [read(sixLowFirst())], told([{ sample: 'six', low: [1, 2] }])),
    // Up and Down held together are taken for it.
    'wrong',
    'right',
  ),
  of(
    title(
      'told by the identification and the end mark together',
      [
        read([
          ...sixLowFirst().slice(0, -2),
          select('low'),
          sample({}, SOON, { name: 'mark' }),
          select('high'),
        ]),
      ],
      told([
        { sample: 'six', low: [1, 2, 3, 4] },
        { sample: 'mark', high: [1, 2, 3, 4] },
      ]),
    ),
    'right',
    'right',
  ),
  of(
    title('polling that no frame ties, slow enough', [
      read(LOW_FIRST, { kind: 'interval', after: between(3_000_000, 5_000_000) }),
    ]),
    'right',
    'right',
  ),
  of(
    title('polling that no frame ties, too often for six buttons', [
      read(LOW_FIRST, { kind: 'interval', after: between(300_000, 500_000) }),
    ]),
    'right',
    'wrong',
  ),
  of(
    title('reads that move by 6 ms with the load', [
      read(LOW_FIRST, inFrame([1_000_000], { late: between(0, 6_000_000) })),
    ]),
    'right',
    'right',
  ),
  of(
    title('a transfer that stretches one gap past the idle reset', [
      read(
        [select('low', exactly(0)), ...pulses(3), sample(HIGH), select('low'), sample(LOW), select('high')],
        inFrame(),
        { stretch: { byNs: 2_500_000, times: 1 } },
      ),
    ]),
    'right',
    'wrong',
  ),
  of(
    title('interrupts in every gap, which a first cycle does not mind', [
      read(LOW_FIRST, inFrame(), { stretch: { byNs: 60_000, times: 3 } }),
    ]),
    'right',
    'right',
  ),
  of(
    title(
      'waits for the rise of a line that it lets go',
      [
        read([
          select('low', exactly(0)),
          sample(LOW),
          select('release', between(400, 600), { waits: true }),
          sample(HIGH),
        ]),
      ],
      { rise: between(3_000, 22_000) },
    ),
    'right',
    'right',
  ),
  of(
    title('select mixed into a button, at high', [
      read([
        select('low', exactly(0)),
        sample(LOW),
        select('high'),
        sample({ ...HIGH, select: 'c', 9: 'c' }),
      ]),
    ]),
    'right',
    'right',
  ),
  of(
    title('select mixed into a button, at low', [
      read([select('low', exactly(0)), sample({ ...LOW, select: 'start' }), select('high'), sample(HIGH)]),
    ]),
    'wrong',
    'wrong',
  ),
  of(
    title('believes a press only when two samples agree', [
      read([
        select('low', exactly(0)),
        sample(LOW),
        select('high'),
        sample(
          Object.fromEntries(Object.entries(HIGH).map(([pin, input]) => [pin, { input, ifAgrees: 'again' }])),
        ),
        ...pulses(2),
        sample({ 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }, SOON, { name: 'again' }),
      ]),
    ]),
    'right',
    // The second of them is believed alone, and carries the extra buttons.
    'wrong',
  ),
  of(
    title('the second sample only confirms', [
      read([
        select('low', exactly(0)),
        sample(LOW),
        select('high'),
        sample(HIGH, SOON, { name: 'first' }),
        ...pulses(2),
        sample({ 1: { input: 'up', ifAgrees: 'first' } }),
        select('low'),
        select('high'),
      ]),
    ]),
    'right',
    'right',
  ),
  of(
    title(
      'longer where six buttons are believed',
      [
        read([
          select('low', exactly(0)),
          sample(LOW),
          select('high'),
          sample(HIGH),
          ...pulses(1),
          select('low'),
          sample({}, SOON, { name: 'six' }),
          select('high', SOON, { when: 'six-buttons' }),
          sample(EXTRA, SOON, { when: 'six-buttons' }),
          select('low', SOON, { when: 'six-buttons' }),
          select('high'),
        ]),
      ],
      told(BY_IDENTIFICATION),
    ),
    'wrong',
    'right',
  ),
  of(
    title('the menu reads three buttons, the game six', [], {
      ...told(BY_IDENTIFICATION),
      modes: [
        { name: 'menu', reads: [read(LOW_FIRST)] },
        { name: 'in play', reads: [read(sixLowFirst())] },
      ],
    }),
    'wrong',
    'right',
  ),
  of(
    title('the menu polls, the game is tied to the frame', [], {
      modes: [
        {
          name: 'menu',
          reads: [read(LOW_FIRST, { kind: 'interval', after: between(2_500_000, 3_000_000) })],
        },
        { name: 'in play', reads: [read(LOW_FIRST)] },
      ],
    }),
    'right',
    // Nothing says how soon the game reads after the last poll, so the count can go on from one to the other.
    'wrong',
  ),
  of(
    title('a group repeated', [
      read([
        {
          repeat: 4,
          steps: [select('low'), sample(LOW), select('high'), sample(HIGH)],
        },
      ]),
    ]),
    'right',
    'wrong',
  ),
]
