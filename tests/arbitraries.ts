import fc from 'fast-check'
import { CONTROLS, controlMask, controlsIn } from '../src/pad/controls.ts'
import { CELLS, MAX_CYCLES } from '../src/port/chart.ts'
import type { Cell, Chart, Cycle, Phase } from '../src/port/chart.ts'
import { ALL_INPUTS, INPUTS } from '../src/port/pins.ts'
import type { Input, KnownLevel } from '../src/port/pins.ts'
import { foreign } from '../src/words/foreign.ts'
import { BANKS, LIMITS, OPPOSITE_POLICIES, PROFILE_FORMAT, PROFILE_VERSION } from '../src/profile/schema.ts'
import type { BankChange, Chord, Layer, PowerOnRule, Profile, Repeat } from '../src/profile/schema.ts'
import { arbitraryStick } from './pad/arbitrary-layout.ts'

/** Generators for the core: charts, profiles, and what select and the hands do in time. */

export const arbCell: fc.Arbitrary<Cell> = fc.constantFrom(...CELLS)

export const arbPhase: fc.Arbitrary<Phase> = fc.record({
  1: arbCell,
  2: arbCell,
  3: arbCell,
  4: arbCell,
  6: arbCell,
  9: arbCell,
})

export const arbCycle: fc.Arbitrary<Cycle> = fc.record({ high: arbPhase, low: arbPhase })

const cyclesUpTo = (maxLength: number) => fc.array(arbCycle, { minLength: 1, maxLength })

/** Every chart that a profile may have. */
export const arbChart: fc.Arbitrary<Chart> = fc.oneof(
  fc.record({
    cycles: cyclesUpTo(MAX_CYCLES['start-again']),
    after: fc.constant({ kind: 'start-again' as const }),
  }),
  fc.record({
    cycles: cyclesUpTo(MAX_CYCLES.stay),
    after: fc.record({ kind: fc.constant('stay' as const), reply: arbCycle }),
  }),
)

export const arbInputMask: fc.Arbitrary<number> = fc.integer({ min: 0, max: ALL_INPUTS })

/** Controls in canonical order, without repeats. */
export const arbControls = (minLength = 0) => fc.subarray([...CONTROLS], { minLength })

export const arbControlMask: fc.Arbitrary<number> = arbControls().map(controlMask)

const bytesIn = (text: string): number => new TextEncoder().encode(text).length

/** The longest beginning of a text that takes so many bytes of UTF-8. */
function withinBytes(text: string, most: number): string {
  let kept = ''
  for (const character of text) {
    if (bytesIn(kept + character) > most) break
    kept += character
  }
  return kept
}

const arbText = fc.oneof(fc.string(), fc.string({ unit: 'binary' }), fc.string({ unit: 'grapheme' }))

/** Names that the schema accepts, in any script, up to the last byte. */
export const arbName: fc.Arbitrary<string> = arbText
  .map((text) => text.replace(/\p{Cc}/gu, '').trim())
  .map((text) => foreign(withinBytes(text, LIMITS.nameBytes).trim()))
  .filter((text) => text !== '')

export const arbNotes: fc.Arbitrary<string> = arbText

const perInput = <T>(arb: fc.Arbitrary<T>) =>
  Object.fromEntries(INPUTS.map((input) => [input, arb])) as Record<Input, fc.Arbitrary<T>>

export const arbLayer: fc.Arbitrary<Layer> = fc.record({
  kind: fc.constantFrom('held' as const, 'toggled' as const),
  by: arbControls(1),
  mapping: fc.record(perInput(arbControls()), { requiredKeys: [] }),
})

const arbBank = fc.constantFrom(...BANKS)

export const arbPowerOnRule: fc.Arbitrary<PowerOnRule> = fc.record({
  held: arbControls(1),
  then: fc.oneof(
    fc.constant({ kind: 'first-cycle-only' as const }),
    fc.record({ kind: fc.constant('bank' as const), bank: arbBank }),
  ),
})

export const arbBankChange: fc.Arbitrary<BankChange> = fc.record({
  held: arbControls(1),
  forMs: fc.integer({ min: 0, max: LIMITS.maxHoldMs }),
  bank: fc.oneof(arbBank, fc.constantFrom('next' as const, 'previous' as const)),
})

/** Few controls more often than not, so that chords overlap and can be held. */
export const arbChord: fc.Arbitrary<Chord> = fc.record({
  held: fc.oneof(fc.subarray(CONTROLS.slice(0, 6), { minLength: 2, maxLength: 3 }), arbControls(2)),
  withinMs: fc.oneof(fc.integer({ min: 0, max: 20 }), fc.integer({ min: 0, max: LIMITS.maxChordMs })),
  inputs: fc.subarray([...INPUTS], { minLength: 1 }),
})

const arbSteps = fc.oneof(fc.integer({ min: 1, max: 3 }), fc.integer({ min: 1, max: LIMITS.repeatSteps }))
const arbRepeat: fc.Arbitrary<Repeat> = fc.oneof(
  fc.record({ kind: fc.constant('reads' as const), pressedReads: arbSteps, releasedReads: arbSteps }),
  fc.record({ kind: fc.constant('time' as const), pressedMs: arbSteps, releasedMs: arbSteps }),
)
const arbPolicy = fc.constantFrom(...OPPOSITE_POLICIES)

/** Every profile, in canonical form. */
export const arbProfile: fc.Arbitrary<Profile> = fc.record({
  format: fc.constant(PROFILE_FORMAT),
  version: fc.constant(PROFILE_VERSION),
  name: arbName,
  notes: arbNotes,
  family: fc.constant('select-line' as const),
  sticks: fc.record({ left: arbitraryStick, right: arbitraryStick }),
  mapping: fc.record(perInput(arbControls())),
  layers: fc.array(arbLayer, { maxLength: LIMITS.layers }),
  chords: fc.array(arbChord, { maxLength: LIMITS.chords }),
  opposite: fc.record({ vertical: arbPolicy, horizontal: arbPolicy }),
  repeat: fc.record(perInput(arbRepeat), { requiredKeys: [] }),
  powerOn: fc.array(arbPowerOnRule, { maxLength: LIMITS.powerOnRules }),
  bankChange: fc.array(arbBankChange, { maxLength: LIMITS.bankChanges }),
  idleResetNs: fc.oneof(
    fc.constantFrom(LIMITS.minIdleResetNs, 1_500_000, LIMITS.maxIdleResetNs),
    fc.integer({ min: LIMITS.minIdleResetNs, max: LIMITS.maxIdleResetNs }),
  ),
  delayNs: fc
    .integer({ min: 0, max: LIMITS.maxDelayNs / LIMITS.delayStepNs })
    .map((steps) => steps * LIMITS.delayStepNs),
  chart: arbChart,
})

/** Select is at `level` from `atNs` on. */
export interface SelectStep {
  readonly atNs: number
  readonly level: KnownLevel
}

/** What select does: its level at time 0, then steps in order of time, the first after 0. */
export interface SelectSequence {
  readonly startLevel: KnownLevel
  readonly steps: readonly SelectStep[]
}

/** Times between two happenings: bunched, as a title's phases, and by a hair on either side of the idle reset. */
export const arbGapNs = (idleResetNs: number): fc.Arbitrary<number> =>
  fc.oneof(
    { weight: 4, arbitrary: fc.integer({ min: 0, max: 5_000 }) },
    { weight: 2, arbitrary: fc.integer({ min: -2_001, max: 2_001 }).map((off) => idleResetNs + off) },
    { weight: 1, arbitrary: fc.constantFrom(0, 1, idleResetNs - 1, idleResetNs, idleResetNs + 1) },
    { weight: 1, arbitrary: fc.integer({ min: 0, max: 3 * idleResetNs }) },
  )

const arbLevel = (unknown: boolean): fc.Arbitrary<KnownLevel> =>
  unknown
    ? fc.oneof(
        { weight: 9, arbitrary: fc.constantFrom<KnownLevel>('low', 'high') },
        { weight: 1, arbitrary: fc.constant<KnownLevel>('unknown') },
      )
    : fc.constantFrom<KnownLevel>('low', 'high')

/**
 * Select in time. Steps may come at the same instant and may repeat the level.
 *
 * @param unknown whether the level may be unknown at times, as in captures
 */
export const arbSelectSequence = (idleResetNs: number, unknown = false): fc.Arbitrary<SelectSequence> =>
  fc
    .record({
      startLevel: arbLevel(unknown),
      gaps: fc.array(fc.record({ gapNs: arbGapNs(idleResetNs), level: arbLevel(unknown) }), {
        maxLength: 24,
      }),
    })
    .map(({ startLevel, gaps }) => {
      let atNs = 1
      return { startLevel, steps: gaps.map(({ gapNs, level }) => ({ atNs: (atNs += gapNs), level })) }
    })

/** What the hands do: at `atNs` exactly these controls are held. */
export interface HandStep {
  readonly atNs: number
  readonly held: number
}

/** Controls that come and go, among the ones that matter to a profile more often than not. */
export const arbHandSteps = (profile: Profile): fc.Arbitrary<HandStep[]> => {
  const mapped = new Set(INPUTS.flatMap((input) => profile.mapping[input]))
  const layered = profile.layers.flatMap((layer) => [...layer.by, ...Object.values(layer.mapping).flat()])
  const chorded = profile.chords.flatMap((chord) => chord.held)
  const known = controlsIn(controlMask([...mapped, ...layered, ...chorded]))
  const held =
    known.length === 0 ? arbControlMask : fc.oneof(fc.subarray(known).map(controlMask), arbControlMask)
  return fc
    .array(fc.record({ gapNs: arbGapNs(profile.idleResetNs), held }), { maxLength: 12 })
    .map((gaps) => {
      let atNs = 0
      return gaps.map(({ gapNs, held }) => ({ atNs: (atNs += gapNs), held }))
    })
}
