import fc from 'fast-check'
import { INPUTS, PINS } from '../../src/port/pins.ts'
import { readShortTitle } from '../../src/title/short-title.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import type { Title } from '../../src/title/schema.ts'

const arbInput = fc.constantFrom(...INPUTS)

/** What a three-button title takes from a phase, so that most of what is made reads well, or a set of its own. */
const arbPins = (level: 'low' | 'high') => {
  const usual =
    level === 'high'
      ? { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }
      : { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
  return fc.oneof(
    { weight: 12, arbitrary: fc.constant(usual) },
    { weight: 2, arbitrary: fc.constant({ 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }) },
    {
      weight: 1,
      arbitrary: fc
        .array(fc.tuple(fc.constantFrom(...PINS), arbInput), { minLength: 1, maxLength: 4 })
        .map((pairs) => Object.fromEntries(pairs)),
    },
  )
}

const arbRange = (min: number, max: number) =>
  fc.tuple(fc.integer({ min, max }), fc.integer({ min: 0, max: 300 })).map(([low, more]) => ({
    minNs: low,
    maxNs: Math.min(max, low + more),
  }))

/** Short titles of all kinds, with reads close enough for idle resets of some tens of µs to fall between and inside them. */
export const arbShort: fc.Arbitrary<ShortTitle> = fc
  .record({
    standard: fc.constantFrom('525-line', '625-line'),
    cyclesPerRead: fc.integer({ min: 1, max: 6 }),
    gapsNs: fc.array(fc.integer({ min: 1, max: 90_000 }), { minLength: 1, maxLength: 3 }),
    edgeSpacingNs: arbRange(1_200, 9_000),
    sampleAfterEdgeNs: fc.oneof(arbRange(0, 1_150), arbRange(500, 1_150)),
    rest: fc.constantFrom('low', 'high'),
    drive: fc.oneof(
      { weight: 3, arbitrary: fc.constant({ kind: 'driven' }) },
      { weight: 1, arbitrary: arbRange(0, 25_000).map((riseNs) => ({ kind: 'released', riseNs })) },
    ),
    wishes: fc.array(
      fc.record({
        cycle: fc.integer({ min: 1, max: 6 }),
        level: fc.constantFrom('low' as const, 'high' as const),
        six: fc.boolean(),
      }),
      { minLength: 1, maxLength: 5 },
    ),
    detects: fc.constantFrom('never', 'assumed', 'identified', 'identified'),
    identifiedIn: fc.integer({ min: 1, max: 6 }),
    lowPins: fc.constantFrom([1, 2, 3, 4], [1, 2], [3], [1, 6]),
    readJitterNs: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 3_000 })),
    clockPpm: fc.constantFrom(0, 0, 100, 2_000),
    takesOpposite: fc.boolean(),
  })
  .chain(({ gapsNs, wishes, detects, identifiedIn, lowPins, ...rest }) =>
    fc.tuple(...wishes.map(({ level }) => arbPins(level))).map((pins) => {
      const longestNs = 2 * rest.cyclesPerRead * rest.edgeSpacingNs.maxNs
      let atNs = 1_000
      const readOffsetsNs = gapsNs.map((gapNs) => {
        const offsetNs = atNs
        const lastsNs = longestNs + rest.readJitterNs + 1
        atNs += Math.ceil(lastsNs / (1 - rest.clockPpm / 1e6)) + 1 + gapNs
        return offsetNs
      })
      const phases = new Set<string>()
      const samples = wishes
        .map(({ cycle, level, six }, k) => ({
          cycle: ((cycle - 1) % rest.cyclesPerRead) + 1,
          level,
          pins: pins[k],
          when: six && detects !== 'never' ? 'six-buttons' : 'always',
        }))
        .filter(({ cycle, level }) => {
          const phase = `${cycle} ${level}`
          return phases.has(phase) ? false : phases.add(phase)
        })
      const sixButtons =
        detects === 'identified'
          ? { kind: detects, cycle: ((identifiedIn - 1) % rest.cyclesPerRead) + 1, level: 'low', lowPins }
          : { kind: detects }
      return { ...rest, readOffsetsNs, samples, sixButtons }
    }),
  )
  .map((fields) => {
    const read = readShortTitle({ name: 'Made', notes: '', fragile: false, ...fields })
    if (!read.ok) throw new Error(`${read.error.place} ${read.error.message}`)
    return { ...read.value, mode: '', sources: {}, captures: [] }
  })

/** The same as titles. */
export const arbTitle: fc.Arbitrary<Title> = arbShort.map(titleOfShort)
