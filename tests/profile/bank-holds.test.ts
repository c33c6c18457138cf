import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CONTROLS, controlMask, controlsIn } from '../../src/pad/controls.ts'
import type { ControlMask } from '../../src/pad/controls.ts'
import { bankHolds, targetBank } from '../../src/profile/bank-holds.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { ControlsRunner, JUDGED_AFTER_MS } from '../../src/profile/run-controls.ts'
import { BANKS } from '../../src/profile/schema.ts'
import type { Bank, BankChange, PowerOnRule, Profile } from '../../src/profile/schema.ts'
import { ImageControlsRunner } from '../reference/profile/run-image-controls.ts'

/** Few controls, so that rules lie within each other, and every set of them can be tried. */
const FEW = CONTROLS.slice(0, 4)
const SETS: readonly ControlMask[] = Array.from({ length: 15 }, (_, k) =>
  controlMask(FEW.filter((_control, at) => ((k + 1) >> at) & 1)),
)
const TIMES_MS = [0, 1, 700, 1_000]

const arbHeld = fc.constantFrom(...SETS).map(controlsIn)
const arbPowerOn: fc.Arbitrary<PowerOnRule> = fc.record({
  held: arbHeld,
  then: fc.oneof(
    fc.constant({ kind: 'first-cycle-only' as const }),
    fc.record({ kind: fc.constant('bank' as const), bank: fc.constantFrom(...BANKS) }),
  ),
})
const arbBankChange: fc.Arbitrary<BankChange> = fc.record({
  held: arbHeld,
  forMs: fc.constantFrom(...TIMES_MS),
  bank: fc.constantFrom(...BANKS, 'next' as const, 'previous' as const),
})
const arbProfile: fc.Arbitrary<Profile> = fc
  .record({
    powerOn: fc.array(arbPowerOn, { maxLength: 5 }),
    bankChange: fc.array(arbBankChange, { maxLength: 5 }),
  })
  .map((rules) => ({ ...BUILT_IN_PROFILES['six-button'], ...rules }))

const arbActive = fc.constantFrom(...BANKS)

const runners = (profile: Profile, active: Bank) => [
  new ControlsRunner(profile, active),
  new ImageControlsRunner(encodeImage(profile), active),
]
type Runner = ControlsRunner | ImageControlsRunner

/** The bank that the adapter changes to when just this is held while power comes on; 0 for none. */
function heldAtPowerOn(runner: Runner, held: ControlMask): number {
  runner.report(held, 0)
  runner.tick(JUDGED_AFTER_MS)
  runner.readEnded()
  return runner.takeWish(true).bank
}

/** The same when just this is held for so long after power-on, and let go. */
function heldWhilePlaying(runner: Runner, held: ControlMask, forMs: number): number {
  runner.report(0, 0)
  runner.tick(JUDGED_AFTER_MS)
  runner.report(held, 1_000)
  runner.tick(1_000 + forMs)
  runner.report(0, 1_000 + forMs)
  return runner.takeWish(true).bank
}

describe('the holds that lead to a bank', () => {
  it('lead there, when the adapter runs the profile or its image', () => {
    let tried = 0
    fc.assert(
      fc.property(arbProfile, arbActive, fc.constantFrom(...BANKS), (profile, active, to) => {
        for (const { kind, held, forMs } of bankHolds(profile, active, to)) {
          const mask = controlMask(held)
          for (const runner of runners(profile, active)) {
            const bank =
              kind === 'power-on' ? heldAtPowerOn(runner, mask) : heldWhilePlaying(runner, mask, forMs)
            expect(bank).toBe(to)
          }
          tried++
        }
      }),
    )
    expect(tried).toBeGreaterThan(50)
  })

  it('are all there are: whatever is held and leads to a bank holds one of them', () => {
    let led = 0
    fc.assert(
      fc.property(arbProfile, arbActive, fc.constantFrom(...SETS), (profile, active, held) => {
        const within = (kind: 'power-on' | 'while-playing', bank: number, forMs: number): boolean =>
          bankHolds(profile, active, bank as Bank).some(
            (hold) => hold.kind === kind && hold.forMs <= forMs && (controlMask(hold.held) & ~held) === 0,
          )
        for (const runner of runners(profile, active)) {
          const bank = heldAtPowerOn(runner, held)
          if (bank !== 0) expect(within('power-on', bank, 0)).toBe(true)
          if (bank !== 0) led++
        }
        for (const forMs of TIMES_MS)
          for (const runner of runners(profile, active)) {
            const bank = heldWhilePlaying(runner, held, forMs)
            if (bank !== 0) expect(within('while-playing', bank, forMs)).toBe(true)
            if (bank !== 0) led++
          }
      }),
    )
    expect(led).toBeGreaterThan(50)
  })

  it('count next and previous round all four', () => {
    expect(BANKS.map((bank) => targetBank('next', bank))).toEqual([2, 3, 4, 1])
    expect(BANKS.map((bank) => targetBank('previous', bank))).toEqual([4, 1, 2, 3])
    expect(BANKS.map((bank) => targetBank(3, bank))).toEqual([3, 3, 3, 3])
  })
})
