import { createRawSnippet } from 'svelte'
import { render } from 'svelte/server'
import { expect, it } from 'vitest'
import Text from '../../src/ui/look/Text.svelte'
import { texts } from '../../src/words/texts.ts'

const t = texts('test-marked', {
  marked: '<strong>Not saved.</strong> {reason} <again>Try again</again>, or save a file.',
  first: '<again>{name}</again>',
})
const again = createRawSnippet((words: () => string) => ({ render: () => `<button>${words()}</button>` }))
const drawn = (text: string) => render(Text, { props: { text, again } }).body.replace(/<!--.*?-->/g, '')

it('draws what stands in a tag by the snippet of its name, the rest as words', () => {
  expect(drawn(t.marked({ reason: 'The disk is full.' }))).toBe(
    '<strong>Not saved.</strong> The disk is full. <button>Try again</button>, or save a file.',
  )
  expect(drawn(t.first({ name: 'Gull' }))).toBe('<button>Gull</button>')
})

it('takes no tag from what a user wrote', () => {
  expect(drawn(t.marked({ reason: '<again>x</again>' }))).toContain('&lt;again>x&lt;/again>')
})
