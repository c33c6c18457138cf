import fc from 'fast-check'
import * as v from 'valibot'
import { describe, expect, it } from 'vitest'
import { StickSchema, USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { keyMove } from '../../../src/ui/stick/probe-keys.ts'
import { SHARE_FIELDS, setStick, withinReach } from '../../../src/ui/stick/stick-fields.ts'
import { arbPlace, arbStick } from './examples.ts'

describe('the fields of a stick', () => {
  it('have sliders that give only what the schema takes, from one end to the other', () => {
    fc.assert(
      fc.property(
        arbStick,
        fc.constantFrom(...SHARE_FIELDS),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (settings, field, at) => {
          const percent = Math.round(field.min + at * (field.max - field.min))
          const taken = withinReach(settings, field.key, percent)
          expect(v.is(StickSchema, { ...settings, [field.key]: taken })).toBe(true)
          // What the schema takes as it is, is taken as it is.
          if (v.is(StickSchema, { ...settings, [field.key]: percent })) expect(taken).toBe(percent)
        },
      ),
    )
  })

  it('have the bounds of the schema', () => {
    const widest = { ...USUAL_STICK, innerPercent: 95, hysteresisPercent: 1 }
    for (const { key, min, max } of SHARE_FIELDS) {
      const takes = (percent: number) => v.is(StickSchema, { ...widest, [key]: percent })
      expect([takes(min - 1), takes(min), takes(max), takes(max + 1)]).toEqual([false, true, true, false])
    }
  })

  it('change one stick and leave all else', () => {
    const profile: Profile = BUILT_IN_PROFILES['six-button']
    const edits: unknown[] = []
    const editor = {
      editProfile(label: string, change: (now: Profile) => unknown, group?: string | null) {
        edits.push([label, change(profile), group])
        return 'a refusal'
      },
    }
    expect(setStick(editor, 'right', { innerPercent: 40 }, 'g')).toBe('a refusal')
    const sticks = { left: USUAL_STICK, right: { ...USUAL_STICK, innerPercent: 40 } }
    expect(edits).toEqual([['the right stick', { ...profile, sticks }, 'g']])
  })
})

describe('keys at the probe', () => {
  it('move it by 2 %, or by 10 %, and never beyond the ends of the axes', () => {
    expect(keyMove({ x: 0, y: 0 }, 'ArrowUp', false)).toEqual({ x: 0, y: -655 })
    expect(keyMove({ x: 0, y: 0 }, 'ArrowRight', true)).toEqual({ x: 3277, y: 0 })
    expect(keyMove({ x: 5, y: 9 }, 'Home', false)).toEqual({ x: 0, y: 0 })
    expect(keyMove({ x: 5, y: 9 }, 'KeyA', false)).toBeNull()
    const key = fc.constantFrom('ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight')
    fc.assert(
      fc.property(arbPlace, key, fc.boolean(), (from, pressed, long) => {
        const to = keyMove(from, pressed, long)
        expect(Math.max(Math.abs(to?.x ?? Infinity), Math.abs(to?.y ?? Infinity))).toBeLessThanOrEqual(32767)
      }),
    )
  })
})
