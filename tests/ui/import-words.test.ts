import { expect, it } from 'vitest'
import { STANDARD_LAYOUT } from '../../src/pad/layout/built-in.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { FileContent } from '../../src/shelf/files.ts'
import { importLabel, importWords, refusalWords } from '../../src/ui/import-words.ts'
import { newTitle } from '../../src/ui/titles/new-title.ts'

const profile = (name: string): FileContent => ({
  kind: 'profile',
  document: { ...BUILT_IN_PROFILES['six-button'], name },
})
const title = (name: string): FileContent => ({ kind: 'title', document: newTitle(name) })

it('says what came in and where it is', () => {
  expect(importWords([profile('Gull')])).toBe('Gull is on the shelf and open.')
  expect(importWords([title('Tern')])).toBe('Tern is among the titles.')
  expect(importWords([title('Tern'), title('Gull')])).toBe('Tern and Gull are among the titles.')
  expect(importWords([profile('Gull'), title('Tern')])).toBe('Gull and Tern are on the shelf; Gull is open.')
  expect(importWords([])).toBe('')
})

it('says where layouts are', () => {
  const layout: FileContent = { kind: 'layout', document: { ...STANDARD_LAYOUT, name: 'Lamp pad' } }
  expect(importWords([layout])).toBe('Lamp pad is among the pad layouts, on the Pad.')
  expect(importWords([layout, profile('Gull')])).toBe('Lamp pad and Gull are on the shelf; Gull is open.')
  expect(importWords([layout, title('Tern')])).toBe('Lamp pad and Tern were imported.')
  expect(importLabel([layout, layout, title('a'), title('b')])).toBe('import of 2 titles and 2 pad layouts')
})

it('counts where there is too much to name', () => {
  const many = [...'abcd'].map(title)
  expect(importLabel(many)).toBe('import of 4 titles')
  expect(importLabel([profile('Gull'), ...many])).toBe('import of 1 profile and 4 titles')
})

it('says what was refused and what became of the rest', () => {
  expect(refusalWords(['a: wrong.'], [])).toBe('a: wrong. Nothing was changed.')
  expect(refusalWords(['a: wrong.', 'b: cut.'], [title('Tern')])).toBe(
    'a: wrong. b: cut. Tern is among the titles.',
  )
  expect(refusalWords(['a.', 'b.', 'c.', 'd.', 'e.'], [])).toBe(
    'a. b. c. 2 more files failed too. Nothing was changed.',
  )
})
