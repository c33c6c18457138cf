import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { layOut } from '../../src/bench/plan/lay-out.ts'
import type { PlannedBank } from '../../src/bench/plan.ts'
import { CONTROLS, controlMask } from '../../src/pad/controls.ts'
import type { Control } from '../../src/pad/controls.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { bankChangeFor, powerOnOutcome } from '../../src/profile/held-controls.ts'
import type { Profile } from '../../src/profile/schema.ts'
import {
  chooseWords,
  firstCycleWords,
  otherWays,
  summaryWords,
  unservedWords,
  usesPowerOn,
} from '../../src/bench/plan/plan-words.ts'
import { CONTROL_WORDS } from '../../src/pad/control-texts.ts'
import { arbProfile } from '../arbitraries.ts'

const planned = (profiles: readonly Profile[], firstCycle: boolean): PlannedBank[] =>
  layOut(profiles.map((profile) => ({ profile, firstCycle }))).map((laidOut, candidate) => ({
    ...laidOut,
    candidate,
    titles: [],
  }))

/** Reads a list of controls as somebody does who stands before the console with nothing but the words. */
const heldIn = (list: string): Control[] =>
  list.split(/, | and /).map((word) => {
    const control = CONTROLS.find((one) => CONTROL_WORDS[one].toLowerCase() === word.toLowerCase())
    if (control === undefined) throw new Error(`No control is called ${word}`)
    return control
  })

const named = () => (control: Control) => CONTROL_WORDS[control]

const arbBanks = fc
  .tuple(fc.array(arbProfile, { minLength: 1, maxLength: 4 }), fc.boolean())
  .map(([profiles, firstCycle]) => planned(profiles, firstCycle))

describe('how a bank is chosen, in words', () => {
  it('leads there by the rules of bank 1, for whoever does just what they say', () => {
    let followed = 0
    fc.assert(
      fc.property(arbBanks, (banks) => {
        const first = banks[0]?.profile
        for (const one of banks) {
          const words = chooseWords(one, named)
          const atPowerOn = /^Hold (.*) while power comes on\.$/.exec(words)?.[1]
          const playing = /^Hold (.*?)(?: for ([\d.]+) s)? while playing, then let go\./.exec(words)
          if (one.bank === 1) expect(words).toBe('Switch the console on with nothing held.')
          else if (atPowerOn !== undefined) {
            const then = powerOnOutcome(first?.powerOn ?? [], controlMask(heldIn(atPowerOn)))
            expect(then).toEqual({ kind: 'bank', bank: one.bank })
            followed++
          } else if (playing !== null) {
            const forMs = Math.round(Number(playing[2] ?? 0) * 1_000)
            const target = bankChangeFor(
              first?.bankChange ?? [],
              controlMask(heldIn(playing[1] ?? '')),
              forMs,
            )
            const steps: Record<string, number> = { next: 2, previous: 4 }
            expect(typeof target === 'string' ? steps[target] : target).toBe(one.bank)
            expect(words).toContain('Back to bank 1: ')
            followed++
          } else expect(words).toContain('make it the active bank in the app')
        }
      }),
    )
    expect(followed).toBeGreaterThan(20)
  })

  it('keeps a bank to its first cycle, for whoever does just what they say', () => {
    const banks = planned(
      [BUILT_IN_PROFILES['six-button'], { ...BUILT_IN_PROFILES['six-button'], powerOn: [] }],
      true,
    )
    const held = banks.map(
      (one) => /.*hold ([^.]*) while power comes on/i.exec(firstCycleWords(one, named))?.[1] ?? '',
    )
    banks.forEach(({ profile }, at) => {
      expect(powerOnOutcome(profile.powerOn, controlMask(heldIn(held[at] ?? '')))).toEqual({
        kind: 'first-cycle-only',
      })
    })
    expect(firstCycleWords(banks[0] as PlannedBank, named)).toBe('Hold Centre left while power comes on.')
    expect(firstCycleWords(banks[1] as PlannedBank, named)).toContain('switch the console off, and hold')
    expect(usesPowerOn(banks)).toBe(true)
  })

  it('says nothing of a first cycle that no title needs', () => {
    const [one] = planned([BUILT_IN_PROFILES['six-button']], false)
    expect(firstCycleWords(one as PlannedBank, named)).toBe('')
    expect(usesPowerOn([one as PlannedBank])).toBe(false)
  })

  it('tells a way apart only where it is another one', () => {
    const six = { ...BUILT_IN_PROFILES['six-button'], powerOn: [] }
    expect(otherWays(planned([six], false), named)).toEqual([])
    expect(otherWays(planned([six, six], false), named).slice(1)).toEqual([
      expect.stringMatching(/^From bank 2 to bank 1: hold .* while power comes on\.$/),
    ])
    const ruled: Profile = { ...six, powerOn: [{ held: ['extra-3'], then: { kind: 'bank', bank: 3 } }] }
    expect(otherWays(planned([six, ruled, six], false), named)).toContain(
      'From bank 2 to bank 3: hold Extra 3 while power comes on.',
    )
  })
})

describe('what a plan comes to, in words', () => {
  it('counts banks and titles', () => {
    const banks = planned([BUILT_IN_PROFILES['six-button']], false)
    const unserved = [{ title: 2, servedBy: [0, 1], closest: null }]
    expect(summaryWords({ banks, unserved }, 3)).toBe('1 bank covers 2 of 3 titles.')
    expect(summaryWords({ banks: [...banks, ...banks], unserved: [] }, 1)).toBe('2 banks cover 1 of 1 title.')
    expect(summaryWords({ banks: [], unserved }, 1)).toContain('None of these profiles')
  })

  it('says why a title has no bank', () => {
    const name = (at: number) => ['Gull', 'Tern'][at] ?? ''
    expect(unservedWords({ title: 0, servedBy: [0, 1], closest: null }, name)).toContain('Gull or Tern')
    expect(
      unservedWords(
        { title: 0, servedBy: [], closest: { candidate: 1, reason: 'It samples too soon.' } },
        name,
      ),
    ).toBe('No profile here reads it right; Tern comes closest. It samples too soon.')
  })
})
