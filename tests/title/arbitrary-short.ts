import fc from 'fast-check'
import { frameNs, VIDEO_STANDARDS } from '../../src/port/clocks.ts'
import { INPUTS, PINS } from '../../src/port/pins.ts'
import type { Input, Pin } from '../../src/port/pins.ts'
import type { Capture, Source } from '../../src/title/evidence.ts'
import type { LeftOver } from '../../src/title/left-over.ts'
import { readShortTitle } from '../../src/title/short-title.ts'
import type { ShortFigure, ShortTitle, ShortTitleFields } from '../../src/title/short-title.ts'
import { TITLE_LIMITS } from '../../src/title/title-limits.ts'
import { arbNotes, arbName } from '../arbitraries.ts'

const arbLevel = fc.constantFrom('low' as const, 'high' as const)
const arbPins: fc.Arbitrary<Partial<Record<Pin, Input>>> = fc
  .array(fc.tuple(fc.constantFrom(...PINS), fc.constantFrom(...INPUTS)), { minLength: 1, maxLength: 6 })
  .map((pairs) => Object.fromEntries(pairs) as Partial<Record<Pin, Input>>)

/** From a few to all: half of the draws are near the least, where most titles are. */
const arbUpTo = (min: number, few: number, max: number) =>
  fc.oneof(fc.integer({ min, max: few }), fc.constantFrom(min, max), fc.integer({ min, max }))

const arbRange = (min: number, few: number, max: number) =>
  fc
    .tuple(arbUpTo(min, few, max), arbUpTo(0, 300, max - min))
    .map(([minNs, more]) => ({ minNs, maxNs: Math.min(max, minNs + more) }))

const arbSixButtons: fc.Arbitrary<ShortTitle['sixButtons']> = fc.oneof(
  fc.constantFrom({ kind: 'never' as const }, { kind: 'assumed' as const }),
  fc.record({
    kind: fc.constant('identified' as const),
    cycle: fc.integer({ min: 1, max: 6 }),
    level: arbLevel,
    lowPins: fc.subarray([...PINS], { minLength: 1 }),
  }),
)

/**
 * Titles as files of version 2 say them, each field within its own bounds. In about a third of them the fields do not go together:
 * reads overlap or last past the frame, samples come after the next edge or wait in vain, cycles are none of the read's.
 */
export const arbShortFields: fc.Arbitrary<ShortTitleFields> = fc
  .record({
    name: arbName.filter((name) => name.length <= TITLE_LIMITS.nameLength),
    notes: arbNotes.filter((notes) => !/\p{Surrogate}/u.test(notes)),
    fragile: fc.boolean(),
    standard: fc.constantFrom(...VIDEO_STANDARDS),
    readJitterNs: arbUpTo(0, 3_000, TITLE_LIMITS.maxReadJitterNs),
    clockPpm: arbUpTo(0, 200, TITLE_LIMITS.maxClockPpm),
    cyclesPerRead: arbUpTo(1, 6, TITLE_LIMITS.cyclesPerRead),
    edgeSpacingNs: arbRange(100, 9_000, TITLE_LIMITS.maxSpacingNs),
    rest: arbLevel,
    drive: fc.oneof(
      fc.constant({ kind: 'driven' as const }),
      fc.record({ kind: fc.constant('released' as const), riseNs: arbRange(0, 25_000, 1_000_000) }),
    ),
    samples: fc.array(
      fc.record({
        cycle: fc.integer({ min: 1, max: TITLE_LIMITS.cyclesPerRead }),
        level: arbLevel,
        pins: arbPins,
        when: fc.constantFrom('always' as const, 'always' as const, 'six-buttons' as const),
      }),
      { minLength: 1, maxLength: 8 },
    ),
    sixButtons: arbSixButtons,
    takesOpposite: fc.boolean(),
    firstNs: arbUpTo(0, 300_000, 16_000_000),
    gapsNs: fc.array(fc.integer({ min: 1, max: 2_000_000 }), { maxLength: 15 }),
    sampleShare: fc.tuple(
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
    ),
    asDrawn: fc.record({
      spacing: fc.boolean(),
      places: fc.integer({ min: 0, max: 3 }).map((n) => n === 0),
      samples: fc.integer({ min: 0, max: 5 }).map((n) => n === 0),
      belief: fc.integer({ min: 0, max: 9 }).map((n) => n === 0),
    }),
  })
  .map(({ firstNs, gapsNs, sampleShare, asDrawn, ...drawn }) => {
    const { cyclesPerRead, clockPpm, readJitterNs, sixButtons } = drawn
    const lengthNs = frameNs(drawn.standard)
    // As drawn a read often lasts longer than its frame; else there is room for one at the least.
    const mostNs = Math.floor((lengthNs - readJitterNs) / (2 * cyclesPerRead + 2) / 1.02)
    const { minNs, maxNs } = drawn.edgeSpacingNs
    const edgeSpacingNs = asDrawn.spacing
      ? drawn.edgeSpacingNs
      : { minNs: Math.min(minNs, mostNs), maxNs: Math.min(maxNs, mostNs) }
    const lastsNs = Math.ceil((readJitterNs + 2 * cyclesPerRead * edgeSpacingNs.maxNs) / (1 - clockPpm / 1e6))
    const readOffsetsNs: number[] = []
    let atNs = asDrawn.places ? firstNs : Math.max(0, Math.min(firstNs, lengthNs - lastsNs - 400_000))
    for (const gapNs of [0, ...gapsNs]) {
      if (readOffsetsNs.length > 0 && !asDrawn.places && atNs + gapNs + lastsNs > lengthNs * 0.98) break
      readOffsetsNs.push((atNs += gapNs))
      atNs += asDrawn.places ? 0 : lastsNs + 2
    }
    const [least, most] = sampleShare.map((share) =>
      Math.floor(share * (asDrawn.samples ? 1_000_000 : edgeSpacingNs.minNs - 1)),
    ) as [number, number]
    const inRead = (cycle: number) => ((cycle - 1) % cyclesPerRead) + 1
    const phases = new Set<string>()
    return {
      ...drawn,
      edgeSpacingNs,
      readOffsetsNs,
      sampleAfterEdgeNs: { minNs: Math.min(least, most), maxNs: Math.max(least, most) },
      samples: drawn.samples
        .map((sample) => ({
          ...sample,
          cycle: asDrawn.samples ? sample.cycle : inRead(sample.cycle),
          when: sixButtons.kind === 'never' && !asDrawn.samples ? ('always' as const) : sample.when,
        }))
        .filter(({ cycle, level }) => asDrawn.samples || phases.size < phases.add(`${cycle} ${level}`).size),
      sixButtons:
        sixButtons.kind === 'identified' && !asDrawn.belief
          ? { ...sixButtons, cycle: inRead(sixButtons.cycle) }
          : sixButtons,
    }
  })

const arbHash = fc
  .array(fc.constantFrom(...'0123456789abcdef'), { minLength: 64, maxLength: 64 })
  .map((digits) => digits.join(''))

const arbCapture: fc.Arbitrary<Capture> = fc.record(
  {
    sha256: arbHash,
    name: arbName,
    bytes: fc.integer({ min: 1, max: Number.MAX_SAFE_INTEGER }),
    pad: fc.constantFrom('three-buttons' as const, 'six-buttons' as const),
  },
  { requiredKeys: ['sha256', 'name', 'bytes'] },
)

const MOST = 1_000_000_000

/** Where a figure comes from; what was measured, in one of these captures or in one that is not named. */
export const arbSourceOf = (captures: readonly Capture[]): fc.Arbitrary<Source> =>
  fc.oneof(
    fc
      .tuple(fc.integer({ min: 1, max: MOST }), fc.nat(), fc.constantFrom(undefined, ...captures))
      .map(([of, seen, capture]) => ({
        kind: 'measured' as const,
        seen: seen % (of + 1),
        of,
        ...(capture && { capture: capture.sha256 }),
      })),
    fc.record({ kind: fc.constant('found' as const), trials: fc.integer({ min: 1, max: MOST }) }),
    fc.constantFrom(
      ...(['shown', 'typed-in', 'preset', 'guessed', 'not-recorded'] as const).map((kind) => ({ kind })),
    ),
  )

/** All figures and beliefs that may have a source; the compiler sees to it that none is left out. */
const FIGURES = Object.keys({
  standard: true,
  readOffsetsNs: true,
  readJitterNs: true,
  clockPpm: true,
  edgeSpacingNs: true,
  sampleAfterEdgeNs: true,
  rest: true,
  drive: true,
  samples: true,
  sixButtons: true,
  takesOpposite: true,
} satisfies Record<ShortFigure, true>) as ShortFigure[]

const arbLeftOver: fc.Arbitrary<LeftOver> = fc.record({
  stretches: fc.array(
    fc.record({
      startLevel: arbLevel,
      edgesNs: fc
        .uniqueArray(fc.integer({ min: 1, max: TITLE_LIMITS.stretchNs }), { maxLength: 8 })
        .map((edgesNs) => [0, ...edgesNs.sort((a, b) => a - b)]),
      sinceRiseNs: fc.option(fc.maxSafeNat()),
      seen: fc.integer({ min: 1, max: 1_000_000_000 }),
    }),
    { maxLength: 3 },
  ),
  more: fc.nat(1_000_000_000),
})

const arbSourced = (fields: ShortTitleFields): fc.Arbitrary<ShortTitle> =>
  fc
    .array(arbCapture, { maxLength: 3 })
    .chain((captures) =>
      fc.record({
        mode: fc.oneof(
          fc.constant(''),
          arbName.filter((name) => name.length <= TITLE_LIMITS.nameLength),
        ),
        sources: fc.record(
          Object.fromEntries(FIGURES.map((figure) => [figure, arbSourceOf(captures)])) as Record<
            ShortFigure,
            fc.Arbitrary<Source>
          >,
          { requiredKeys: [] },
        ),
        captures: fc.constant(captures),
        leftOver: fc.option(arbLeftOver),
      }),
    )
    .map(({ leftOver, ...rest }) => ({ ...fields, ...rest, ...(leftOver && { leftOver }) }))

/** Every short title that its reader takes, each figure with a source or without. */
export const arbShortTitle: fc.Arbitrary<ShortTitle> = arbShortFields
  .filter((fields) => readShortTitle(fields).ok)
  .chain(arbSourced)
