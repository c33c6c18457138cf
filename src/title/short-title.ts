import * as v from 'valibot'
import { readJson } from '../document/document.ts'
import type { DocumentError, DocumentKind } from '../document/document.ts'
import { nameUpTo, notesUpTo, whole } from '../document/fields.ts'
import type { Frozen } from '../document/frozen.ts'
import { VIDEO_STANDARDS } from '../port/clocks.ts'
import { INPUTS, PINS } from '../port/pins.ts'
import { ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import type { Capture, Source } from './evidence.ts'
import type { LeftOver } from './left-over.ts'
import { noShortClash } from './short-clashes.ts'
import { wholeNs } from './refused-times.ts'
import { t } from './title-file-texts.ts'
import { TITLE_FORMAT, TITLE_LIMITS } from './title-limits.ts'

/**
 * The short way to say how a title reads the port, for titles all of whose reads are alike: how many cycles, how far apart, which
 * samples. Files were of this shape up to version 2, and it is what a form asks first.
 *
 * A read is a burst of cycles. From rest high its first phase is the rest itself (the write of "high" makes no edge),
 * then falls and rises follow at the edge spacing, and one more rise brings select back to rest. From rest low it opens with a
 * rise and ends on the last fall. Phases are told by cycle (from 1) and level within the read.
 */

const SHORT_VERSION = 2

/** Least and most of a time, in ns. */
const rangeNs = (min: number, max: number) =>
  v.pipe(
    v.strictObject({ minNs: wholeNs(min, max), maxNs: wholeNs(min, max) }),
    v.check(
      ({ minNs, maxNs }) => minNs <= maxNs,
      ({ input }) => t.minAboveMax(input),
    ),
  )

const InputSchema = v.picklist(INPUTS)
const LevelSchema = v.picklist(['low', 'high'])
const CYCLES = TITLE_LIMITS.cyclesPerRead
/** Which cycle of the read, from 1. */
const CycleNumberSchema = whole(1, CYCLES, () => t.cycleNumber({ min: 1, max: CYCLES }))

const pinKeys = <S extends v.GenericSchema>(schema: S) =>
  Object.fromEntries(PINS.map((pin) => [pin, v.exactOptional(schema)])) as Record<
    (typeof PINS)[number],
    v.ExactOptionalSchema<S, undefined>
  >

const SampleSchema = v.strictObject({
  cycle: CycleNumberSchema,
  level: LevelSchema,
  /** Which input the title takes each pin for; a pin that it does not look at is left out. */
  pins: v.pipe(
    v.strictObject(pinKeys(InputSchema)),
    v.minEntries(1, () => t.onePin),
  ),
  /** `six-buttons`: taken only in a read in which the title believes in six buttons. */
  when: v.exactOptional(v.picklist(['always', 'six-buttons']), 'always'),
})

const SixButtonsSchema = v.variant('kind', [
  /** Never looks for six buttons. */
  v.strictObject({ kind: v.literal('never') }),
  /** Takes six buttons for granted. */
  v.strictObject({ kind: v.literal('assumed') }),
  /** Believes in six buttons for this read when all of these pins are low in this phase. */
  v.strictObject({
    kind: v.literal('identified'),
    cycle: CycleNumberSchema,
    level: LevelSchema,
    lowPins: v.pipe(
      v.array(v.picklist(PINS)),
      v.minLength(1, () => t.onePin),
      v.check(
        (pins) => new Set(pins).size === pins.length,
        () => t.pinTwice,
      ),
    ),
  }),
])

const DriveSchema = v.variant('kind', [
  /** Both edges are driven. */
  v.strictObject({ kind: v.literal('driven') }),
  /** Low is driven; for high the pin is released and the pull-up brings the rise this much later. */
  v.strictObject({ kind: v.literal('released'), riseNs: rangeNs(0, 1_000_000) }),
])

const ShortFieldsSchema = v.strictObject({
  format: v.literal(TITLE_FORMAT),
  version: v.literal(SHORT_VERSION),
  name: nameUpTo(TITLE_LIMITS.nameLength),
  notes: notesUpTo(TITLE_LIMITS.notesLength),
  /** Known to work by a hair only: nothing may be rounded in its favour. */
  fragile: v.boolean(),
  standard: v.picklist(VIDEO_STANDARDS),
  /** Start of each read after the start of the frame, ascending. */
  readOffsetsNs: v.pipe(
    v.array(wholeNs(0, 100_000_000)),
    v.minLength(1, () => t.oneRead),
    v.maxLength(TITLE_LIMITS.readsPerFrame, ({ input }) =>
      t.mostReads({ most: TITLE_LIMITS.readsPerFrame, n: input.length }),
    ),
  ),
  /** Each read may begin up to so much later than its place. */
  readJitterNs: wholeNs(0, TITLE_LIMITS.maxReadJitterNs),
  /** How far the console's clock may be off, both ways: frames, and times between reads, scale by it. */
  clockPpm: whole(0, TITLE_LIMITS.maxClockPpm, () => t.wholePpm({ min: 0, max: TITLE_LIMITS.maxClockPpm })),
  cyclesPerRead: whole(1, CYCLES, () => t.wholeCycles({ min: 1, max: CYCLES })),
  /** From one edge of a read to the next. */
  edgeSpacingNs: rangeNs(100, TITLE_LIMITS.maxSpacingNs),
  /** From the edge that opens a phase to the sample in it. */
  sampleAfterEdgeNs: rangeNs(0, TITLE_LIMITS.maxSpacingNs),
  /** Level of select between reads. */
  rest: LevelSchema,
  drive: DriveSchema,
  samples: v.pipe(
    v.array(SampleSchema),
    v.minLength(1, () => t.oneSample),
  ),
  sixButtons: SixButtonsSchema,
  /** Whether the title copes with both directions of an axis at once; true where nothing is known. */
  takesOpposite: v.boolean(),
})

export type ShortFields = v.InferOutput<typeof ShortFieldsSchema>

const ShortTitleSchema = v.pipe(ShortFieldsSchema, noShortClash)
export type ShortTitleFields = Omit<Frozen<v.InferOutput<typeof ShortTitleSchema>>, 'format' | 'version'>

/** Figures and beliefs of a short title that have a source of their own. */
export type ShortFigure = Exclude<keyof ShortTitleFields, 'name' | 'notes' | 'fragile' | 'cyclesPerRead'>

export type ShortTitle = ShortTitleFields & {
  /** Name of the one mode; empty where nobody has named it. */
  readonly mode: string
  readonly sources: Readonly<Partial<Record<ShortFigure, Source>>>
  readonly captures: readonly Capture[]
  /** What it samples besides, and what it makes of it, is not known: see `leave-open.ts`. */
  readonly isOpen?: true
  /** What captures show and none of its reads explains. */
  readonly leftOver?: LeftOver
}
export type ShortSample = ShortTitle['samples'][number]

const SHORT_KIND: DocumentKind<typeof ShortTitleSchema> = {
  format: TITLE_FORMAT,
  noun: () => t.noun,
  version: SHORT_VERSION,
  migrations: {},
  maxBytes: TITLE_LIMITS.fileBytes,
  schema: ShortTitleSchema,
}

/** Reads the fields of a short title, with or without what says that it is one. An error names its place. */
export function readShortTitle(fields: object): Result<ShortTitleFields, DocumentError> {
  const read = readJson(SHORT_KIND, { ...fields, format: TITLE_FORMAT, version: SHORT_VERSION })
  if (!read.ok) return read
  const { format: _format, version: _version, ...short } = read.value
  return ok(short)
}
