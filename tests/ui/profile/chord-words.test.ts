import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CONTROLS, controlMask } from '../../../src/pad/controls.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { Chords } from '../../../src/profile/chords.ts'
import { LIMITS } from '../../../src/profile/schema.ts'
import type { Chord } from '../../../src/profile/schema.ts'
import { longestWaitMs } from '../../../src/profile/chords.ts'
import { costWords, newChord } from '../../../src/ui/profile/chord-words.ts'

const { mapping } = BUILT_IN_PROFILES['six-button']

describe('what a chord costs', () => {
  it('says who comes later, and by how much', () => {
    const pair: Chord = { held: ['face-south', 'face-east'], withinMs: 30, inputs: ['start'] }
    expect(costWords(pair, [pair], mapping)).toEqual([
      'B (Face south) and C (Face east), each alone, are delayed by up to 30 ms.',
    ])
    const other: Chord = { held: ['face-east', 'trigger-left'], withinMs: 50, inputs: ['mode'] }
    expect(costWords(pair, [pair, other], mapping)).toEqual([
      'B (Face south) alone is delayed by up to 30 ms.',
      'C (Face east) alone is delayed by up to 50 ms.',
    ])
    const none: Chord = { ...pair, withinMs: 0 }
    expect(costWords(none, [none], mapping)).toEqual([
      'B (Face south) and C (Face east), each alone, are not delayed: the chord counts only if all of it comes in one report.',
    ])
    expect(costWords(other, [other], mapping)[0]).toContain('C (Face east) and Left trigger, each alone,')
  })

  it('is what the profile does: a control that is held alone passes after exactly that time', () => {
    const control = fc.constantFrom(...CONTROLS.slice(0, 4))
    const chord: fc.Arbitrary<Chord> = fc.record({
      held: fc.uniqueArray(control, { minLength: 2, maxLength: 3 }),
      withinMs: fc.integer({ min: 0, max: LIMITS.maxChordMs }),
      inputs: fc.constant(['a' as const]),
    })
    fc.assert(
      fc.property(fc.array(chord, { maxLength: 4 }), control, (chords, alone) => {
        const padInput = new Chords(chords)
        const passesAt = (nowMs: number) => {
          if (nowMs === 0) padInput.hold(controlMask([alone]), 0)
          padInput.look(nowMs)
          return (padInput.passing & controlMask([alone])) !== 0
        }
        let ms = 0
        while (!passesAt(ms)) ms++
        expect(ms).toBe(longestWaitMs(chords, alone))
      }),
    )
  })
})

it('offers a new chord a pair of its own, as long as the list has room', () => {
  const chords: Chord[] = []
  for (let k = 0; k < LIMITS.chords; k++) chords.push(newChord(chords))
  expect(new Set(chords.map(({ held }) => [...held].sort().join())).size).toBe(LIMITS.chords)
})
