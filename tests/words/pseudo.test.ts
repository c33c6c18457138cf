import { describe, expect, it } from 'vitest'
import type { Message } from '../../src/words/message-types.ts'
import { catalogues, outsideBrackets, pseudo } from './pseudo.ts'

/** What a message takes, and the tags it has. */
function taken(message: Message): string[] {
  if (typeof message === 'string') return [...message.matchAll(/\{\w+\}|<\/?\w+>/g)].map(([sign]) => sign)
  return Object.entries(message).flatMap(([selector, cases]) =>
    Object.entries(cases).flatMap(([when, each]) => taken(each).map((sign) => `${selector} ${when} ${sign}`)),
  )
}

const texts = (message: Message): string[] =>
  typeof message === 'string'
    ? [message]
    : Object.values(message).flatMap((cases) => Object.values(cases).flatMap(texts))

const all = [...catalogues()].flatMap(([id, messages]) =>
  Object.entries(messages).map(([key, message]) => ({ name: `${id} ${key}`, message })),
)

describe('every message', () => {
  it('is in a catalogue that is found', () => {
    expect([...catalogues().keys()]).toEqual(expect.arrayContaining(['controls', 'inputs', 'look']))
  })

  it('takes the same values in the made-up language, and has its brackets', () => {
    for (const { name, message } of all) {
      const made = pseudo(message)
      expect([name, ...taken(made)]).toEqual([name, ...taken(message)])
      for (const text of texts(made))
        expect(outsideBrackets(text.replace(/<\/?\w+>/g, ''))).not.toMatch(/\p{L}/u)
    }
  })

  it('has no sign that only code reads', () => {
    for (const { name, message } of all)
      for (const text of texts(message))
        expect([name, text.replace(/\{\w+\}|<\/?\w+>/g, '')]).toEqual([
          name,
          expect.not.stringMatching(/[{}\uE000]/u),
        ])
  })

  it('chooses by one value at a time', () => {
    const check = (message: Message): void => {
      if (typeof message === 'string') return
      expect(Object.keys(message)).toHaveLength(1)
      for (const cases of Object.values(message)) Object.values(cases).forEach(check)
    }
    for (const { message } of all) check(message)
  })
})
