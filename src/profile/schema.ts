import * as v from 'valibot'
import { CONTROLS, controlMask, controlsIn } from '../pad/controls.ts'
import type { DocumentKind } from '../document/document.ts'
import { nameUpToBytes, notesUpToBytes, whole } from '../document/fields.ts'
import type { Frozen } from '../document/frozen.ts'
import { MAX_CYCLES } from '../port/chart.ts'
import { StickSchema } from '../pad/stick/settings.ts'
import { INPUTS, inputsIn, maskOf } from '../port/pins.ts'
import { fromVersion1 } from './migrate.ts'
import { t } from './profile-file-texts.ts'

/**
 * The profile: what the user edits and the adapter obeys. What comes out of this schema is canonical (lists of
 * controls are sorted and without repeats), so that a profile and its image are equal or not, with nothing between.
 */

export const PROFILE_FORMAT = 'ninepin-profile'
export const PROFILE_VERSION = 2

/** Bounds that the image and the adapter share. */
export const LIMITS = {
  nameBytes: 32,
  notesBytes: 4000,
  layers: 4,
  powerOnRules: 4,
  bankChanges: 8,
  chords: 8,
  maxChordMs: 250,
  /** Of either half of a repeat, in reads or in ms. */
  repeatSteps: 255,
  /** Shorter than any read that was ever seen, and still long against a phase. */
  minIdleResetNs: 10_000,
  maxIdleResetNs: 100_000_000,
  /** The adapter's reply table has three free bits of delay, in cycles of 8 ns. */
  delayStepNs: 8,
  maxDelayNs: 56,
  maxHoldMs: 10_000,
  /** The largest profile that is sound, every list full, takes about 89 000 bytes as we write it. */
  fileBytes: 131_072,
} as const

/** The adapter's banks, by the numbers printed beside its light. */
export const BANKS = [1, 2, 3, 4] as const
export type Bank = (typeof BANKS)[number]

/** Whole numbers within bounds, told with their units. */
const wholeReads = (min: number, max: number) => whole(min, max, () => t.wholeReads({ min, max }))
const wholeMs = (min: number, max: number) => whole(min, max, () => t.wholeMs({ min, max }))
const wholeNs = (min: number, max: number) => whole(min, max, () => t.wholeNs({ min, max }))

/** A list with an end. */
const atMost = <S extends v.GenericSchema>(
  item: S,
  most: number,
  tooMany: (values: { readonly most: number; readonly n: number }) => string,
) =>
  v.pipe(
    v.array(item),
    v.maxLength(most, ({ input }) => tooMany({ most, n: input.length })),
  )

const CellSchema = v.picklist([...INPUTS, 'low', 'high'])

const PhaseSchema = v.strictObject({
  1: CellSchema,
  2: CellSchema,
  3: CellSchema,
  4: CellSchema,
  6: CellSchema,
  9: CellSchema,
})
const CycleSchema = v.strictObject({ high: PhaseSchema, low: PhaseSchema })

const ChartSchema = v.pipe(
  v.strictObject({
    cycles: v.pipe(
      v.array(CycleSchema),
      v.minLength(1, () => t.oneCycle),
    ),
    after: v.variant('kind', [
      v.strictObject({ kind: v.literal('start-again') }),
      v.strictObject({ kind: v.literal('stay'), reply: CycleSchema }),
    ]),
  }),
  v.check(
    ({ cycles, after }) => cycles.length <= MAX_CYCLES[after.kind],
    ({ input }) =>
      t.tooManyCycles({
        n: input.cycles.length,
        after: JSON.stringify(input.after.kind),
        most: MAX_CYCLES[input.after.kind],
      }),
  ),
)

/** Any of these controls. Sorted, without repeats. */
const AnyOfSchema = v.pipe(
  v.array(v.picklist(CONTROLS)),
  v.transform((controls) => controlsIn(controlMask(controls))),
)
/** One control or several, at least one. */
const SomeControlsSchema = v.pipe(
  AnyOfSchema,
  v.check(
    (controls) => controls.length > 0,
    () => t.oneControl,
  ),
)

const perInput = <S extends v.GenericSchema>(schema: S) =>
  Object.fromEntries(INPUTS.map((input) => [input, schema])) as Record<(typeof INPUTS)[number], S>

const MappingSchema = v.strictObject(perInput(AnyOfSchema))

const LayerSchema = v.strictObject({
  /** On while any of its controls is held, or turned on and off by pressing one of them. */
  kind: v.picklist(['held', 'toggled']),
  by: SomeControlsSchema,
  /** Inputs that this layer maps anew; an empty list silences the input; what is not named falls through. */
  mapping: v.strictObject(perInput(v.exactOptional(AnyOfSchema))),
})

const ChordSchema = v.strictObject({
  /** Controls that go down together, within so many ms, press other inputs than they do one by one. */
  held: v.pipe(
    AnyOfSchema,
    v.check(
      (controls) => controls.length >= 2,
      () => t.twoControls,
    ),
  ),
  withinMs: wholeMs(0, LIMITS.maxChordMs),
  /** Sorted, without repeats. */
  inputs: v.pipe(
    v.array(v.picklist(INPUTS)),
    v.transform((inputs) => inputsIn(maskOf(inputs))),
    v.check(
      (inputs) => inputs.length > 0,
      () => t.oneInput,
    ),
  ),
})

/** What happens when both directions of an axis are held. */
export const OPPOSITE_POLICIES = ['as-held', 'neutral', 'first', 'last'] as const
const OppositeSchema = v.picklist(OPPOSITE_POLICIES)

const inReads = wholeReads(1, LIMITS.repeatSteps)
const inMs = wholeMs(1, LIMITS.repeatSteps)

/** How long the held input is pressed, then how long it is not, and so on. It begins pressed. */
const RepeatSchema = v.variant('kind', [
  v.strictObject({ kind: v.literal('reads'), pressedReads: inReads, releasedReads: inReads }),
  v.strictObject({ kind: v.literal('time'), pressedMs: inMs, releasedMs: inMs }),
])

const BankSchema = v.picklist(BANKS)

const PowerOnRuleSchema = v.strictObject({
  /** All of these held at power-on. */
  held: SomeControlsSchema,
  then: v.variant('kind', [
    v.strictObject({ kind: v.literal('first-cycle-only') }),
    v.strictObject({ kind: v.literal('bank'), bank: BankSchema }),
  ]),
})

const BankChangeSchema = v.strictObject({
  /** All of these held together: one control is a hold, several are a chord. */
  held: SomeControlsSchema,
  forMs: wholeMs(0, LIMITS.maxHoldMs),
  bank: v.picklist([...BANKS, 'next', 'previous']),
})

export const ProfileSchema = v.strictObject({
  format: v.literal(PROFILE_FORMAT),
  version: v.literal(PROFILE_VERSION),
  name: nameUpToBytes(LIMITS.nameBytes),
  notes: notesUpToBytes(LIMITS.notesBytes),
  family: v.literal('select-line'),
  sticks: v.strictObject({ left: StickSchema, right: StickSchema }),
  mapping: MappingSchema,
  layers: atMost(LayerSchema, LIMITS.layers, t.mostLayers),
  chords: atMost(ChordSchema, LIMITS.chords, t.mostChords),
  opposite: v.strictObject({ vertical: OppositeSchema, horizontal: OppositeSchema }),
  repeat: v.strictObject(perInput(v.exactOptional(RepeatSchema))),
  powerOn: atMost(PowerOnRuleSchema, LIMITS.powerOnRules, t.mostPowerOnRules),
  bankChange: atMost(BankChangeSchema, LIMITS.bankChanges, t.mostBankChanges),
  idleResetNs: wholeNs(LIMITS.minIdleResetNs, LIMITS.maxIdleResetNs),
  delayNs: v.pipe(
    v.number(),
    v.check(
      (ns) => ns >= 0 && ns <= LIMITS.maxDelayNs && ns % LIMITS.delayStepNs === 0,
      ({ input }) => t.delay({ step: LIMITS.delayStepNs, most: LIMITS.maxDelayNs, found: String(input) }),
    ),
  ),
  chart: ChartSchema,
})

export type Profile = Frozen<v.InferOutput<typeof ProfileSchema>>
export type Mapping = Profile['mapping']
export type Layer = Profile['layers'][number]
export type Chord = Profile['chords'][number]
export type Repeat = NonNullable<Profile['repeat'][keyof Profile['repeat']]>
export type OppositePolicy = (typeof OPPOSITE_POLICIES)[number]
export type PowerOnRule = Profile['powerOn'][number]
export type BankChange = Profile['bankChange'][number]
export type BankTarget = BankChange['bank']

export const PROFILE_KIND: DocumentKind<typeof ProfileSchema> = {
  format: PROFILE_FORMAT,
  noun: () => t.noun,
  version: PROFILE_VERSION,
  migrations: { 1: fromVersion1 },
  maxBytes: LIMITS.fileBytes,
  schema: ProfileSchema,
}
