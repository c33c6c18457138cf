import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { PortEngine } from '../../src/port/engine.ts'
import type { Replier } from '../../src/port/engine.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { bankChangeFor, powerOnOutcome } from '../../src/profile/held-controls.ts'
import { ImageRunner } from '../reference/profile/run-image.ts'
import { ProfileRunner } from '../../src/profile/run-profile.ts'
import type { BankTarget } from '../../src/profile/schema.ts'
import { arbControlMask, arbHandSteps, arbProfile, arbSelectSequence } from '../arbitraries.ts'
import type { HandStep, SelectSequence } from '../arbitraries.ts'
import { draws, often } from '../draws.ts'

/** A profile and its image answer the same on every pin, whatever select and the hands do. */

interface Runner extends Replier {
  readonly inputs: number
  setControls(held: number): void
  limitToFirstCycle(): void
}

/** Runs it all through the port, and notes the pins' changes and what was pressed after each step of the hands. */
function trace(runner: Runner, select: SelectSequence, hands: readonly HandStep[], limitAtNs: number | null) {
  const engine = new PortEngine(runner, select.startLevel)
  const pressed: number[] = []
  const events = [
    ...select.steps.map(({ atNs, level }) => ({ atNs, act: () => engine.select(atNs, level) })),
    ...hands.map(({ atNs, held }) => ({
      atNs,
      act: () => {
        engine.press(atNs, () => runner.setControls(held))
        pressed.push(runner.inputs)
      },
    })),
    ...(limitAtNs === null
      ? []
      : [{ atNs: limitAtNs, act: () => engine.press(limitAtNs, () => runner.limitToFirstCycle()) }]),
  ].sort((a, b) => a.atNs - b.atNs)
  for (const event of events) event.act()
  engine.advance((events.at(-1)?.atNs ?? 0) + 3 * runner.idleResetNs)
  return { changes: engine.changes, pressed }
}

const arbCase = arbProfile.chain((profile) =>
  fc.record({
    profile: fc.constant(profile),
    select: arbSelectSequence(profile.idleResetNs, true),
    hands: arbHandSteps(profile),
    limitAtNs: fc.oneof(fc.constant(null), fc.integer({ min: 0, max: 5 * profile.idleResetNs })),
  }),
)

describe('profile and image side by side', () => {
  it('change the same pins at the same instants', () => {
    let changes = 0
    fc.assert(
      fc.property(arbCase, ({ profile, select, hands, limitAtNs }) => {
        const ofProfile = trace(new ProfileRunner(profile), select, hands, limitAtNs)
        const ofImage = trace(new ImageRunner(encodeImage(profile)), select, hands, limitAtNs)
        expect(ofImage).toEqual(ofProfile)
        changes += ofProfile.changes.length
      }),
      { numRuns: draws(2_000) },
    )
    expect(changes).toBeGreaterThan(often(10_000))
  })

  it('answer the same for every count and level', () => {
    fc.assert(
      fc.property(arbProfile, arbControlMask, fc.nat(1_000), (profile, held, rises) => {
        const ofProfile = new ProfileRunner(profile)
        const ofImage = new ImageRunner(encodeImage(profile))
        ofProfile.setControls(held)
        ofImage.setControls(held)
        for (const level of ['low', 'high'] as const) {
          for (const n of [0, 1, 2, 3, 4, 5, 6, 7, rises])
            expect(ofImage.pinsAt(n, level)).toBe(ofProfile.pinsAt(n, level))
        }
      }),
    )
  })

  it('keep the same time', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        const { idleResetNs, delayNs } = new ImageRunner(encodeImage(profile))
        expect({ idleResetNs, delayNs }).toEqual({
          idleResetNs: profile.idleResetNs,
          delayNs: profile.delayNs,
        })
      }),
    )
  })
})

/** What is held beside a rule's chord: often all of it, so that rules match. */
const arbHeldFor = (chords: readonly (readonly string[])[], all: readonly string[]) =>
  chords.length === 0
    ? arbControlMask
    : fc
        .tuple(fc.constantFrom(...chords), arbControlMask, fc.boolean())
        .map(([chord, noise, whole]) => (whole ? (noise | bitsOf(chord, all)) >>> 0 : noise))
const bitsOf = (names: readonly string[], all: readonly string[]) =>
  names.reduce((sum, name) => sum + 2 ** all.indexOf(name), 0)

describe('rules', () => {
  it('at power-on say the same', async () => {
    const { CONTROLS } = await import('../../src/pad/controls.ts')
    let matched = 0
    fc.assert(
      fc.property(
        arbProfile.chain((profile) =>
          fc.tuple(
            fc.constant(profile),
            arbHeldFor(
              profile.powerOn.map((rule) => rule.held),
              CONTROLS,
            ),
          ),
        ),
        ([profile, held]) => {
          const ofProfile = powerOnOutcome(profile.powerOn, held)
          if (ofProfile !== null) matched += 1
          expect(new ImageRunner(encodeImage(profile)).powerOn(held)).toEqual(ofProfile ?? { kind: 'none' })
        },
      ),
      { numRuns: draws(1_000) },
    )
    expect(matched).toBeGreaterThan(often(100))
  })

  it('for bank changes ask for the same bank', async () => {
    const { CONTROLS } = await import('../../src/pad/controls.ts')
    /** Round the four banks, as the page says. */
    const bankOf = (target: BankTarget, active: number): number =>
      target === 'next'
        ? ([2, 3, 4, 1][active - 1] ?? 0)
        : target === 'previous'
          ? ([4, 1, 2, 3][active - 1] ?? 0)
          : target
    let matched = 0
    fc.assert(
      fc.property(
        arbProfile.chain((profile) =>
          fc.record({
            profile: fc.constant(profile),
            held: arbHeldFor(
              profile.bankChange.map((change) => change.held),
              CONTROLS,
            ),
            heldMs: fc.oneof(
              fc.nat(12_000),
              fc.constantFrom(
                0,
                ...profile.bankChange.flatMap(({ forMs }) => [forMs, Math.max(0, forMs - 1)]),
              ),
            ),
            active: fc.integer({ min: 1, max: 4 }),
          }),
        ),
        ({ profile, held, heldMs, active }) => {
          const target = bankChangeFor(profile.bankChange, held, heldMs)
          if (target !== null) matched += 1
          expect(new ImageRunner(encodeImage(profile)).bankChange(held, heldMs, active)).toBe(
            target === null ? null : bankOf(target, active),
          )
        },
      ),
      { numRuns: draws(1_000) },
    )
    expect(matched).toBeGreaterThan(often(100))
  })
})
