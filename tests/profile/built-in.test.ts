import { describe, expect, it } from 'vitest'
import { controlMask } from '../../src/pad/controls.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CHART } from '../../src/port/family.ts'
import { INPUTS } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES, isBuiltIn } from '../../src/profile/built-in.ts'
import { readProfile, writeProfile } from '../../src/profile/file.ts'
import { powerOnOutcome } from '../../src/profile/held-controls.ts'
import { inputsFor } from './inputs-for.ts'

describe.each(Object.entries(BUILT_IN_PROFILES))('%s', (name, profile) => {
  it('is sound and canonical', () => {
    expect(readProfile(new TextEncoder().encode(writeProfile(profile)))).toEqual({ ok: true, value: profile })
    expect(isBuiltIn(name)).toBe(true)
  })

  it('shows the bare port: opposite directions as held, nothing repeated, nothing delayed', () => {
    expect(profile.opposite).toEqual({ vertical: 'as-held', horizontal: 'as-held' })
    expect([profile.repeat, profile.layers, profile.bankChange]).toEqual([{}, [], []])
    expect(profile.delayNs).toBe(0)
    expect(profile.idleResetNs).toBe(1_500_000)
  })

  it('gives every input that it maps a control of its own', () => {
    const mapped = INPUTS.filter((input) => profile.mapping[input].length > 0)
    for (const input of mapped) {
      for (const control of profile.mapping[input]) {
        expect(inputsFor(profile, controlMask([control]))).toBe(1 << INPUTS.indexOf(input))
      }
    }
    expect(mapped.length).toBe(name === 'three-button' ? 8 : 12)
  })
})

it('only six-button goes beyond the first cycle', () => {
  expect(BUILT_IN_PROFILES['three-button'].chart).toBe(THREE_BUTTON_CHART)
  expect(BUILT_IN_PROFILES['six-button'].chart).toBe(SIX_BUTTON_CHART)
  expect(BUILT_IN_PROFILES['six-button-one-cycle'].chart).toBe(THREE_BUTTON_CHART)
})

it('six-button keeps to its first cycle when Mode is held at power-on', () => {
  const { mapping, powerOn } = BUILT_IN_PROFILES['six-button']
  expect(powerOnOutcome(powerOn, controlMask(mapping.mode))).toEqual({ kind: 'first-cycle-only' })
  expect(powerOnOutcome(powerOn, controlMask(mapping.start))).toBeNull()
})

it('only its own names are built in', () => {
  for (const name of ['', 'Six buttons', 'toString', '__proto__', 'constructor'])
    expect(isBuiltIn(name)).toBe(false)
})
