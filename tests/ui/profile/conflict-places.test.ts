import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { conflictsIn } from '../../../src/profile/conflicts.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import type { Conflict } from '../../../src/profile/conflicts.ts'
import { CONFLICT_WORDS, countWords, placeId, placeIds } from '../../../src/ui/profile/conflict-places.ts'
import { ConflictView } from '../../../src/ui/profile/conflict-view.svelte.ts'
import { arbProfile } from '../../arbitraries.ts'

const six = BUILT_IN_PROFILES['six-button']
const conflict = (place: Conflict['place'], kind: Conflict['kind'] = 'note'): Conflict => ({
  kind,
  place,
  sentence: 'x',
})

describe('where a conflict is told', () => {
  it('names inputs, sticks and members of lists from 1', () => {
    expect(placeId({ at: 'input', input: 'start' })).toBe('input-start')
    expect(placeId({ at: 'stick', side: 'right' })).toBe('stick-right')
    expect(placeId({ at: 'layer', index: 0 })).toBe('layer-1')
    expect(placeId({ at: 'chord', index: 7 })).toBe('chord-8')
    expect(placeId({ at: 'powerOn', index: 1 })).toBe('power-on-2')
    expect(placeId({ at: 'bankChange', index: 2 })).toBe('bank-change-3')
  })

  it('follows a control to every row of the mapping, else to its layer, else to its chord', () => {
    const at = { at: 'control', control: 'face-south' } as const
    const both = { ...six, mapping: { ...six.mapping, c: ['face-south' as const] } }
    expect(placeIds(conflict(at), both)).toEqual(['input-b', 'input-c'])
    const mapping = { ...six.mapping, b: [] }
    const layer = {
      kind: 'held' as const,
      by: ['trigger-left' as const],
      mapping: { a: ['face-south' as const] },
    }
    expect(placeIds(conflict(at), { ...six, mapping, layers: [layer] })).toEqual(['layer-1'])
    const chord = { held: ['face-south' as const, 'face-east' as const], withinMs: 9, inputs: ['a' as const] }
    expect(placeIds(conflict(at), { ...six, mapping, chords: [chord] })).toEqual(['chord-1'])
  })

  it('leaves no conflict of any profile without a place, and says nothing twice', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        const all = conflictsIn(profile, CONFLICT_WORDS)
        for (const one of all) expect(placeIds(one, profile).length, one.sentence).toBeGreaterThan(0)
        expect(new Set(all.map(({ sentence }) => sentence)).size).toBe(all.length)
      }),
      { numRuns: 50 },
    )
  })

  it('is where the view has it, and goes with what brought it', () => {
    let profile: Profile = { ...six, mapping: { ...six.mapping, down: ['dpad-up'] } }
    const view = new ConflictView(() => profile)
    const both = view.all.find(({ kind }) => kind === 'fault')
    expect(both?.sentence).toBe('D-pad up presses Up and Down at once: remove one of them.')
    expect(both && view.leadsTo(both)).toBe('input-up')
    for (const id of ['input-up', 'input-down']) expect(view.at(id)).toContainEqual(both)
    expect(view.at('input-left')).toEqual([])
    profile = six
    expect(new ConflictView(() => profile).at('input-down')).toEqual([])
  })
})

describe('words', () => {
  it('count faults and notes', () => {
    const at = { at: 'layer', index: 0 } as const
    expect(countWords([])).toBe('No conflicts')
    expect(countWords([conflict(at)])).toBe('1 conflict: 1 note')
    expect(countWords([conflict(at, 'fault'), conflict(at, 'fault'), conflict(at)])).toBe(
      '3 conflicts: 2 faults, 1 note',
    )
  })

  it('tell of the built-in profile only what may well be meant', () => {
    expect(conflictsIn(six, CONFLICT_WORDS).filter(({ kind }) => kind === 'fault')).toEqual([])
  })
})
