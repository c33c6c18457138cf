import * as v from 'valibot'
import { DocumentRefusal } from '../document/document.ts'
import type { DocumentKind } from '../document/document.ts'
import { nameUpTo, notesUpTo, whole } from '../document/fields.ts'
import type { Frozen } from '../document/frozen.ts'
import { VIDEO_STANDARDS } from '../port/clocks.ts'
import { INPUTS, PINS } from '../port/pins.ts'
import { rowWords } from '../words/lists.ts'
import { noClash } from './clashes.ts'
import { CaptureSchema, SourceSchema } from './evidence.ts'
import { LeftOverSchema } from './left-over.ts'
import { withNamesApart } from './mode-names.ts'
import { readShortTitle } from './short-title.ts'
import { wholeNs } from './refused-times.ts'
import { t } from './title-file-texts.ts'
import { TITLE_FORMAT, TITLE_LIMITS } from './title-limits.ts'
import { titleOfShort } from './title-of-short.ts'

/**
 * A title: what its code does to the port, step by step, and what it makes of what it samples. READ.md says what each field means.
 */

export const TITLE_VERSION = 3

/** Least and most of a time, in ns, and where the two come from. */
const range = (max: number) =>
  v.pipe(
    v.strictObject({
      minNs: wholeNs(0, max),
      maxNs: wholeNs(0, max),
      source: v.exactOptional(SourceSchema),
    }),
    v.check(
      ({ minNs, maxNs }) => minNs <= maxNs,
      ({ input }) => t.minAboveMax(input),
    ),
  )

const InputSchema = v.picklist(INPUTS)
const LevelSchema = v.picklist(['low', 'high'])
const SampleNameSchema = v.pipe(
  v.string(),
  v.regex(/^[a-z0-9][a-z0-9-]{0,23}$/, () => t.sampleName),
)

const pinKeys = <S extends v.GenericSchema>(schema: S) =>
  Object.fromEntries(PINS.map((pin) => [pin, v.exactOptional(schema)])) as Record<
    (typeof PINS)[number],
    v.ExactOptionalSchema<S, undefined>
  >

/** What a pin is taken for: an input, or an input that is believed only if another sample shows the same of it. */
const TakenSchema = v.union(
  [InputSchema, v.strictObject({ input: InputSchema, ifAgrees: SampleNameSchema })],
  () => t.taken({ inputs: rowWords([...INPUTS]) }),
)

/** A pin that is not looked at is left out; `select` is the level of select itself, read back and mixed in. */
const TakesSchema = v.strictObject({ ...pinKeys(TakenSchema), select: v.exactOptional(InputSchema) })

/** When a step comes: since the step before it, or since the edge before it (or the start of the read). */
const timed = {
  after: range(TITLE_LIMITS.maxGapNs),
  since: v.exactOptional(v.picklist(['step', 'edge']), 'step'),
} as const

const when = v.exactOptional(v.picklist(['always', 'six-buttons', 'three-buttons']), 'always')

const SelectStepSchema = v.strictObject({
  /** What is written to select: it is driven, or let go for its pull-up to bring it up. */
  select: v.picklist(['low', 'high', 'release']),
  ...timed,
  /** After a release: reads select back until it is high, so that what follows counts from the rise. */
  waits: v.exactOptional(v.boolean(), false),
  when,
})

const SampleStepSchema = v.strictObject({
  sample: TakesSchema,
  /** For what refers to it. */
  name: v.exactOptional(SampleNameSchema),
  ...timed,
  when: v.exactOptional(v.picklist(['always', 'six-buttons']), 'always'),
  source: v.exactOptional(SourceSchema),
  /** What the sample may be taken for instead, for all that is known. See `possible.ts` for when it would count. */
  possible: v.exactOptional(v.pipe(v.array(TakesSchema), v.maxLength(TITLE_LIMITS.possible))),
})

const PlainStepSchema = v.union([SelectStepSchema, SampleStepSchema], () => t.step)

const RepeatStepSchema = v.strictObject({
  repeat: whole(1, TITLE_LIMITS.stepsPerRead),
  steps: v.pipe(
    v.array(PlainStepSchema),
    v.minLength(1, () => t.oneStep),
    v.maxLength(TITLE_LIMITS.stepsPerRead),
  ),
})

const StepSchema = v.union([SelectStepSchema, SampleStepSchema, RepeatStepSchema], () => t.step)

const StartsSchema = v.variant('kind', [
  /** At places of its own in every frame, or in one of so many frames. */
  v.strictObject({
    kind: v.literal('frame'),
    /** From the start of the frame, ascending; the same steps at each. */
    offsetsNs: v.pipe(
      v.array(wholeNs(0, TITLE_LIMITS.maxOffsetNs)),
      v.minLength(1, () => t.oneRead),
      v.maxLength(TITLE_LIMITS.readsPerFrame, ({ input }) =>
        t.mostReads({ most: TITLE_LIMITS.readsPerFrame, n: input.length }),
      ),
    ),
    everyFrames: v.exactOptional(whole(1, TITLE_LIMITS.everyFrames), 1),
    /** Which of these frames, from 0. */
    inFrame: v.exactOptional(whole(0, TITLE_LIMITS.everyFrames - 1), 0),
    /** How much later than its place the read may begin. */
    late: range(TITLE_LIMITS.maxLateNs),
    source: v.exactOptional(SourceSchema),
  }),
  /** So long after the last step of the read before it, tied to no frame. */
  v.strictObject({ kind: v.literal('interval'), after: range(TITLE_LIMITS.maxGapNs) }),
])

const ReadSchema = v.strictObject({
  starts: StartsSchema,
  steps: v.pipe(
    v.array(StepSchema),
    v.minLength(1, () => t.oneStep),
    v.maxLength(TITLE_LIMITS.stepsPerRead, () => t.mostSteps({ most: TITLE_LIMITS.stepsPerRead })),
  ),
  /** An interrupt or a transfer may make a gap of the read longer by up to so much, in so many gaps. */
  stretch: v.exactOptional(
    v.strictObject({
      byNs: wholeNs(1, TITLE_LIMITS.maxGapNs),
      times: whole(1, TITLE_LIMITS.stepsPerRead),
      source: v.exactOptional(SourceSchema),
    }),
  ),
})

const ModeSchema = v.strictObject({
  /** Left out where the title has one and nobody has named it. */
  name: v.exactOptional(nameUpTo(TITLE_LIMITS.nameLength)),
  /** Only once, at power-on. */
  once: v.exactOptional(v.boolean(), false),
  reads: v.pipe(
    v.array(ReadSchema),
    v.minLength(1, () => t.oneRead),
    v.maxLength(TITLE_LIMITS.readsPerFrame, ({ input }) =>
      t.mostReads({ most: TITLE_LIMITS.readsPerFrame, n: input.length }),
    ),
  ),
})

const pinList = v.pipe(
  v.array(v.picklist(PINS)),
  v.check(
    (pins) => new Set(pins).size === pins.length,
    () => t.pinTwice,
  ),
)

const ToldBySchema = v.pipe(
  v.strictObject({
    sample: SampleNameSchema,
    low: v.exactOptional(pinList, []),
    high: v.exactOptional(pinList, []),
  }),
  v.check(
    ({ low, high }) => low.length + high.length > 0,
    () => t.onePin,
  ),
  v.check(
    ({ low, high }) => !low.some((pin) => high.includes(pin)),
    () => t.lowAndHigh,
  ),
)

const told = {
  kind: v.literal('told'),
  by: v.pipe(
    v.array(ToldBySchema),
    v.minLength(1, () => t.oneCondition),
    v.maxLength(TITLE_LIMITS.conditions),
  ),
  holds: v.picklist(['read', 'onwards']),
} as const

const DetectionSchema = v.variant('kind', [
  v.strictObject({ kind: v.literal('never') }),
  v.strictObject({ kind: v.literal('assumed') }),
  v.strictObject(told),
])

/** Where it comes from, and how six buttons may be told instead, for all that is known. */
const unsure = {
  source: v.exactOptional(SourceSchema),
  possible: v.exactOptional(v.pipe(v.array(DetectionSchema), v.maxLength(TITLE_LIMITS.possible))),
} as const

const SixButtonsSchema = v.variant('kind', [
  /** Never looks for six buttons. */
  v.strictObject({ kind: v.literal('never'), ...unsure }),
  /** Takes six buttons for granted. */
  v.strictObject({ kind: v.literal('assumed'), ...unsure }),
  /** Believes in six buttons when all of these are so: for the read that tells it, or until it is told again. */
  v.strictObject({ ...told, ...unsure }),
])

const TitleFieldsSchema = v.strictObject({
  format: v.literal(TITLE_FORMAT),
  version: v.literal(TITLE_VERSION),
  name: nameUpTo(TITLE_LIMITS.nameLength),
  notes: notesUpTo(TITLE_LIMITS.notesLength),
  /** Known to work by a hair only: nothing may be rounded in its favour. */
  fragile: v.boolean(),
  /** What the port does; there is one family of ports today. */
  port: v.literal('select-line'),
  standard: v.picklist(VIDEO_STANDARDS),
  /** How far the console's clock may be off, both ways: frames, and times between the places of reads, scale by it. */
  clockPpm: whole(0, TITLE_LIMITS.maxClockPpm, () => t.wholePpm({ min: 0, max: TITLE_LIMITS.maxClockPpm })),
  /** Level of select before the first read. */
  idle: LevelSchema,
  /** From a release of select to its rise; `null` where select is always driven. */
  rise: v.nullable(range(1_000_000)),
  /** The first one is where the title begins at power-on. */
  modes: v.pipe(
    v.array(ModeSchema),
    v.minLength(1, () => t.oneMode),
    v.maxLength(TITLE_LIMITS.modes, () => t.mostModes({ most: TITLE_LIMITS.modes })),
    v.transform(withNamesApart),
  ),
  sixButtons: SixButtonsSchema,
  /** Whether the title copes with both directions of an axis at once; true where nothing is known. */
  takesOpposite: v.boolean(),
  /** Where the figures of the title as a whole come from. */
  sources: v.exactOptional(
    v.strictObject({
      standard: v.exactOptional(SourceSchema),
      clockPpm: v.exactOptional(SourceSchema),
      idle: v.exactOptional(SourceSchema),
      /** That select is always driven; a rise has its own. */
      rise: v.exactOptional(SourceSchema),
      takesOpposite: v.exactOptional(SourceSchema),
    }),
  ),
  /** Captures that figures were measured in. */
  captures: v.exactOptional(v.pipe(v.array(CaptureSchema), v.maxLength(TITLE_LIMITS.captures))),
  /** What captures show and no read explains. */
  leftOver: v.exactOptional(LeftOverSchema),
})

/** A title field by field; what does not go together is found in `clashes.ts`. */
export type TitleFields = v.InferOutput<typeof TitleFieldsSchema>

export const TitleSchema = v.pipe(TitleFieldsSchema, noClash)
export type Title = Frozen<v.InferOutput<typeof TitleSchema>>
export type Mode = Title['modes'][number]
export type Read = Mode['reads'][number]
export type Step = Read['steps'][number]
export type RepeatStep = Extract<Step, { readonly repeat: number }>
export type PlainStep = Exclude<Step, RepeatStep>
export type SampleStep = Extract<PlainStep, { readonly sample: unknown }>
export type SelectStep = Exclude<PlainStep, SampleStep>
export type Takes = SampleStep['sample']
export type SixButtons = Title['sixButtons']

export const TITLE_KIND: DocumentKind<typeof TitleSchema> = {
  format: TITLE_FORMAT,
  noun: () => t.noun,
  version: TITLE_VERSION,
  migrations: {
    // What version 1 did not know stays out of the judgement, so that an old file means what it meant.
    1: (title) => ({ ...title, readJitterNs: 0, clockPpm: 0, takesOpposite: true }),
    2: (title) => {
      const short = readShortTitle(title)
      if (!short.ok) throw new DocumentRefusal(short.error)
      return { ...titleOfShort({ ...short.value, mode: '', sources: {}, captures: [] }) }
    },
  },
  maxBytes: TITLE_LIMITS.fileBytes,
  schema: TitleSchema,
}
