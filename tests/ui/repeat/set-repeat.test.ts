import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { setRepeat } from '../../../src/ui/repeat/set-repeat.ts'

it('sets and ends the repeat of one input, and leaves the others', () => {
  const rate = { pressedReads: 2, releasedReads: 3 }
  const profile: Profile = { ...BUILT_IN_PROFILES['six-button'], repeat: { b: rate } }
  const edits: [string, unknown][] = []
  const editor = {
    editProfile(label: string, change: (now: Profile) => unknown) {
      edits.push([label, change(profile)])
      return null
    },
  }
  setRepeat(editor, 'a', rate)
  setRepeat(editor, 'b', null)
  expect(edits).toEqual([
    ['steady repeat of A', { ...profile, repeat: { b: rate, a: rate } }],
    ['steady repeat of B', { ...profile, repeat: {} }],
  ])
})
