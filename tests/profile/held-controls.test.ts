import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlMask } from '../../src/pad/controls.ts'
import type { Control } from '../../src/pad/controls.ts'
import { INPUTS, inputsIn } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { bankChangeFor, chordHeld, powerOnOutcome } from '../../src/profile/held-controls.ts'
import type { Layer } from '../../src/profile/schema.ts'
import { arbControlMask, arbControls, arbLayer, arbProfile } from '../arbitraries.ts'
import { inputsFor } from './inputs-for.ts'

const mapping = BUILT_IN_PROFILES['six-button'].mapping
const asked = (layers: Layer[], ...held: Control[]): Input[] =>
  inputsIn(inputsFor({ mapping, layers }, controlMask(held)))

describe('mapping', () => {
  it('any of an input’s controls asks for it', () => {
    expect(asked([], 'dpad-up')).toEqual(['up'])
    expect(asked([], 'stick-left-up')).toEqual(['up'])
    expect(asked([], 'stick-left-up', 'dpad-up', 'face-south')).toEqual(['up', 'b'])
    expect(asked([])).toEqual([])
    expect(asked([], 'extra-7')).toEqual([])
  })

  it('one control may ask for several inputs', () => {
    const shared = { ...mapping, a: ['extra-7' as const], b: ['extra-7' as const] }
    expect(inputsIn(inputsFor({ mapping: shared, layers: [] }, controlMask(['extra-7'])))).toEqual(['a', 'b'])
  })
})

describe('layers', () => {
  const swap: Layer = {
    kind: 'held',
    by: ['shoulder-left', 'centre'],
    mapping: { a: ['face-east'], c: ['face-west'] },
  }
  const mute: Layer = { kind: 'held', by: ['centre'], mapping: { a: [] } }

  it('are on while any of their controls is held', () => {
    expect(asked([swap], 'face-west')).toEqual(['a'])
    expect(asked([swap], 'face-west', 'shoulder-left')).toEqual(['c', 'x'])
    expect(asked([swap], 'face-west', 'centre')).toEqual(['c'])
  })

  it('map only what they name', () => {
    expect(asked([swap], 'face-south', 'dpad-up', 'centre')).toEqual(['up', 'b'])
  })

  it('silence an input with an empty list', () => {
    expect(asked([mute], 'face-west', 'centre')).toEqual([])
  })

  it('the last that names the input decides', () => {
    expect(asked([swap, mute], 'face-east', 'centre')).toEqual([])
    expect(asked([mute, swap], 'face-east', 'centre')).toEqual(['a'])
    expect(asked([swap, mute], 'face-east', 'shoulder-left')).toEqual(['a', 'x'])
  })

  it('that are off might as well not be there', () => {
    fc.assert(
      fc.property(arbProfile, arbLayer, arbControlMask, fc.nat(4), (profile, extra, held, at) => {
        const off = {
          ...extra,
          kind: 'held' as const,
          by: extra.by.filter((control) => !(controlMask([control]) & held)),
        }
        const layers = [...profile.layers]
        layers.splice(at, 0, off)
        expect(inputsFor({ ...profile, layers }, held)).toBe(inputsFor(profile, held))
      }),
    )
  })

  it('that come last and name everything decide alone', () => {
    fc.assert(
      fc.property(arbProfile, arbControls(1), arbControlMask, (profile, on, held) => {
        const last = { kind: 'held' as const, by: on, mapping: BUILT_IN_PROFILES['six-button'].mapping }
        fc.pre((controlMask(on) & held) !== 0)
        expect(inputsFor({ ...profile, layers: [...profile.layers, last] }, held)).toBe(
          inputsFor({ mapping: last.mapping, layers: [] }, held),
        )
      }),
    )
  })

  it('without layers, more held is never less asked', () => {
    fc.assert(
      fc.property(arbProfile, arbControlMask, arbControlMask, (profile, some, more) => {
        const bare = { ...profile, layers: [] }
        expect(inputsFor(bare, some) & ~inputsFor(bare, (some | more) >>> 0)).toBe(0)
      }),
    )
  })
})

describe('chords', () => {
  it('are held when all of their controls are, and others may be', () => {
    const chord = controlMask(['face-south', 'extra-7'])
    expect(chordHeld(chord, controlMask(['face-south', 'extra-7']))).toBe(true)
    expect(chordHeld(chord, controlMask(['face-south', 'extra-7', 'centre']))).toBe(true)
    expect(chordHeld(chord, controlMask(['face-south', 'centre']))).toBe(false)
    expect(chordHeld(controlMask(['extra-7']), 0)).toBe(false)
  })

  it('at power-on: the first rule that matches counts', () => {
    const rules = [
      { held: ['centre', 'face-south'], then: { kind: 'bank', bank: 2 } },
      { held: ['centre'], then: { kind: 'first-cycle-only' } },
      { held: ['face-south'], then: { kind: 'bank', bank: 3 } },
    ] as const
    const outcome = (...held: Control[]) => powerOnOutcome(rules, controlMask(held))
    expect(outcome('centre', 'face-south')).toEqual({ kind: 'bank', bank: 2 })
    expect(outcome('centre', 'face-east')).toEqual({ kind: 'first-cycle-only' })
    expect(outcome('face-south')).toEqual({ kind: 'bank', bank: 3 })
    expect(outcome('face-east')).toBeNull()
    expect(outcome()).toBeNull()
  })

  it('for a bank: the first whose time is over counts', () => {
    const changes = [
      { held: ['centre'], forMs: 2_000, bank: 1 },
      { held: ['centre', 'dpad-up'], forMs: 0, bank: 'next' },
      { held: ['centre'], forMs: 500, bank: 'previous' },
    ] as const
    const wanted = (heldMs: number, ...held: Control[]) => bankChangeFor(changes, controlMask(held), heldMs)
    expect(wanted(499, 'centre')).toBeNull()
    expect(wanted(500, 'centre')).toBe('previous')
    expect(wanted(1_999, 'centre')).toBe('previous')
    expect(wanted(2_000, 'centre')).toBe(1)
    expect(wanted(0, 'centre', 'dpad-up')).toBe('next')
    expect(wanted(9_999, 'dpad-up')).toBeNull()
  })
})

it('every input can be asked for, by every control', () => {
  fc.assert(
    fc.property(fc.constantFrom(...INPUTS), arbControls(1), (input, controls) => {
      const only = { ...mapping, [input]: controls }
      for (const control of controls) {
        expect(inputsIn(inputsFor({ mapping: only, layers: [] }, controlMask([control])))).toContain(input)
      }
    }),
  )
})
