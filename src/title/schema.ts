import * as v from 'valibot'
import type { DocumentKind } from '../document/document.ts'
import type { Frozen } from '../document/frozen.ts'
import { VIDEO_STANDARDS, frameNs } from '../port/clocks.ts'
import { INPUTS, PINS } from '../port/pins.ts'

/**
 * A title's read pattern: when it moves select, when it samples, what it concludes.
 *
 * A read is a burst of cycles. From rest high its first phase is the rest itself (the write of "high" makes no edge),
 * then falls and rises follow at the edge spacing, and one more rise brings select back to rest. From rest low it opens with a
 * rise and ends on the last fall. Phases are told by cycle (from 1) and level within the read.
 */

export const TITLE_FORMAT = 'ninepin-title'
export const TITLE_VERSION = 1

export const TITLE_LIMITS = {
  nameLength: 60,
  notesLength: 2000,
  readsPerFrame: 16,
  cyclesPerRead: 16,
  maxSpacingNs: 1_000_000,
  fileBytes: 65_536,
} as const

const wholeNs = (min: number, max: number) =>
  v.pipe(
    v.number(),
    v.check(
      (n) => Number.isInteger(n) && n >= min && n <= max,
      ({ input }) => `a whole number of ns from ${min} to ${max} is needed; this is ${input}`,
    ),
  )

/** Least and most of a time, in ns. */
const rangeNs = (min: number, max: number) =>
  v.pipe(
    v.strictObject({ minNs: wholeNs(min, max), maxNs: wholeNs(min, max) }),
    v.check((range) => range.minNs <= range.maxNs, 'minNs is above maxNs'),
  )

const InputSchema = v.picklist(INPUTS)
const LevelSchema = v.picklist(['low', 'high'])
const CycleNumberSchema = v.pipe(
  v.number(),
  v.check(
    (n) => Number.isInteger(n) && n >= 1 && n <= TITLE_LIMITS.cyclesPerRead,
    ({ input }) => `a cycle from 1 to ${TITLE_LIMITS.cyclesPerRead} is needed; this is ${input}`,
  ),
)

const pinKeys = <S extends v.GenericSchema>(schema: S) =>
  Object.fromEntries(PINS.map((pin) => [pin, v.exactOptional(schema)])) as Record<
    (typeof PINS)[number],
    v.ExactOptionalSchema<S, undefined>
  >

const SampleSchema = v.strictObject({
  cycle: CycleNumberSchema,
  level: LevelSchema,
  /** Which input the title takes each pin for; a pin that it does not look at is left out. */
  pins: v.strictObject(pinKeys(InputSchema)),
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
    lowPins: v.pipe(v.array(v.picklist(PINS)), v.minLength(1, 'one pin at the least is needed')),
  }),
])

const DriveSchema = v.variant('kind', [
  /** Both edges are driven. */
  v.strictObject({ kind: v.literal('driven') }),
  /** Low is driven; for high the pin is released and the pull-up brings the rise this much later. */
  v.strictObject({ kind: v.literal('released'), riseNs: rangeNs(0, 1_000_000) }),
])

const text = (most: number) =>
  v.pipe(
    v.string(),
    v.check((s) => s.length <= most, `${most} characters at most`),
  )

const TitleFieldsSchema = v.strictObject({
  format: v.literal(TITLE_FORMAT),
  version: v.literal(TITLE_VERSION),
  name: v.pipe(
    text(TITLE_LIMITS.nameLength),
    v.check((name) => name.trim() !== '', 'a name is needed'),
  ),
  notes: text(TITLE_LIMITS.notesLength),
  /** Known to work by a hair only: nothing may be rounded in its favour. */
  fragile: v.boolean(),
  standard: v.picklist(VIDEO_STANDARDS),
  /** Start of each read after the start of the frame, ascending. */
  readOffsetsNs: v.pipe(
    v.array(wholeNs(0, 100_000_000)),
    v.minLength(1, 'one read at the least is needed'),
    v.maxLength(TITLE_LIMITS.readsPerFrame, `${TITLE_LIMITS.readsPerFrame} reads a frame at most`),
  ),
  cyclesPerRead: CycleNumberSchema,
  /** From one edge of a read to the next. */
  edgeSpacingNs: rangeNs(100, TITLE_LIMITS.maxSpacingNs),
  /** From the edge that opens a phase to the sample in it. */
  sampleAfterEdgeNs: rangeNs(0, TITLE_LIMITS.maxSpacingNs),
  /** Level of select between reads. */
  rest: LevelSchema,
  drive: DriveSchema,
  samples: v.pipe(v.array(SampleSchema), v.minLength(1, 'one sample at the least is needed')),
  sixButtons: SixButtonsSchema,
})

type Fields = v.InferOutput<typeof TitleFieldsSchema>

/** A check across fields; its issue points at the field to change. */
const across = (key: keyof Fields, message: string, holds: (title: Fields) => boolean) =>
  v.rawCheck<Fields>(({ dataset, addIssue }) => {
    if (!dataset.typed || holds(dataset.value)) return
    addIssue({
      message,
      path: [
        { type: 'object', origin: 'value', input: { ...dataset.value }, key, value: dataset.value[key] },
      ],
    })
  })

/** Longest time that a read takes from its first phase to its last edge, in ns. */
export const longestReadNs = ({
  cyclesPerRead,
  edgeSpacingNs,
}: Pick<Fields, 'cyclesPerRead' | 'edgeSpacingNs'>): number => 2 * cyclesPerRead * edgeSpacingNs.maxNs

const ascending = (offsets: readonly number[], apartNs: number): boolean =>
  offsets.every((offset, k) => k === 0 || offset >= (offsets[k - 1] ?? 0) + apartNs)

export const TitleSchema = v.pipe(
  TitleFieldsSchema,
  across('readOffsetsNs', 'a read begins before the one before it has ended', (title) =>
    ascending(title.readOffsetsNs, longestReadNs(title) + 1),
  ),
  across('readOffsetsNs', 'the last read does not end within the frame', (title) => {
    const lastNs = title.readOffsetsNs[title.readOffsetsNs.length - 1] ?? 0
    return lastNs + longestReadNs(title) < frameNs(title.standard)
  }),
  across(
    'sampleAfterEdgeNs',
    'a sample would come after the next edge',
    (title) => title.sampleAfterEdgeNs.maxNs < title.edgeSpacingNs.minNs,
  ),
  across('samples', 'a sample names a cycle that the read does not have', (title) =>
    title.samples.every((sample) => sample.cycle <= title.cyclesPerRead),
  ),
  across('samples', 'two samples stand in the same phase', (title) => {
    const phases = title.samples.map((sample) => `${sample.cycle} ${sample.level}`)
    return new Set(phases).size === phases.length
  }),
  across(
    'samples',
    'a sample waits for six buttons, but the title never looks for them',
    (title) => title.sixButtons.kind !== 'never' || title.samples.every((sample) => sample.when === 'always'),
  ),
  across(
    'sixButtons',
    'the identification is looked for in a cycle that the read does not have',
    (title) => title.sixButtons.kind !== 'identified' || title.sixButtons.cycle <= title.cyclesPerRead,
  ),
)
export type Title = Frozen<v.InferOutput<typeof TitleSchema>>
export type TitleSample = Title['samples'][number]

export const TITLE_KIND: DocumentKind<typeof TitleSchema> = {
  format: TITLE_FORMAT,
  noun: 'title',
  version: TITLE_VERSION,
  migrations: {},
  maxBytes: TITLE_LIMITS.fileBytes,
  schema: TitleSchema,
}
