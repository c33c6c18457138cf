import { expect, it } from 'vitest'
import { commandOf } from '../../src/ui/app-keys.ts'

const NONE = { ctrlKey: false, metaKey: false, altKey: false, shiftKey: false }

it('knows the keys of the app, with Ctrl and with Command', () => {
  for (const hold of [{ ctrlKey: true }, { metaKey: true }]) {
    const press = (key: string, shiftKey = false) => commandOf({ ...NONE, ...hold, shiftKey, key }, true)
    expect([press('z'), press('Z', true), press('y'), press('s')]).toEqual(['undo', 'redo', 'redo', 'save'])
    expect([press('a'), press('v'), press('Y', true)]).toEqual([null, null, null])
  }
})

it('leaves characters alone where they are typed', () => {
  expect(commandOf({ ...NONE, key: '?' }, true)).toBeNull()
  expect(commandOf({ ...NONE, key: '?', shiftKey: true }, false)).toBe('help')
  expect(commandOf({ ...NONE, key: 'z' }, false)).toBeNull()
  expect(commandOf({ ...NONE, key: 'z', ctrlKey: true, altKey: true }, false)).toBeNull()
})
