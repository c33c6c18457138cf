import { expect, it } from 'vitest'
import { Draft } from '../../src/ui/draft.svelte.ts'

/** A document that takes even numbers only. */
function evens() {
  let kept = 2
  const draft = new Draft(
    () => kept,
    (value: number) => {
      if (value % 2 !== 0) return 'an even number is needed.'
      kept = value
      return null
    },
  )
  return { draft, set: (value: number) => (kept = value), kept: () => kept }
}

it('shows what was refused with its sentence, and the document stays', () => {
  const { draft, kept } = evens()
  draft.value = 4
  expect([draft.value, draft.error, kept()]).toEqual([4, undefined, 4])
  draft.value = 5
  expect([draft.value, draft.error, kept()]).toEqual([5, 'an even number is needed.', 4])
  draft.leave()
  expect([draft.value, draft.error]).toEqual([4, undefined])
})

it('gives way when the document changes from elsewhere', () => {
  const { draft, set } = evens()
  draft.value = 5
  set(8)
  expect([draft.value, draft.error]).toEqual([8, undefined])
})
