import { describe, expect, it } from 'vitest'
import { outsideBrackets, pseudoLanguage } from '../words/pseudo.ts'
import { app } from './app-in-browser.ts'
import { Visitor } from './browser.ts'

/**
 * The app speaks a made-up language: whatever is seen or heard without brackets was never a message, or was glued from pieces.
 */

/** What is not a message: parts that are still to be converted (empty one day), and what a user wrote. */
const NOT_YET = ['.skip', '.cable a', 'aside', '.body > :not(.greeting, .pad, .small, .ways)']

/** Words of users and makers, signs and units. */
const NO_MESSAGE = /Ninepin|First visit|Evening set-up|Six buttons|\b(?:ns|µs|ms|Hz)\b|\b[A-Z]\b/g

describe('in a made-up language', () => {
  app.comesAndGoes()

  it('the first visit says nothing but messages', async () => {
    const visitor = await Visitor.arrive(app.browser)
    await visitor.context.addInitScript((language) => {
      globalThis.ninepinLanguage = language
    }, pseudoLanguage())
    const page = await visitor.context.newPage()
    await page.goto(app.address)
    await page.getByRole('heading', { level: 2 }).first().waitFor()
    const said = await page.evaluate((skipped) => {
      const heard = ['aria-label', 'title', 'placeholder', 'alt', 'aria-valuetext', 'aria-description']
      const all: string[] = []
      for (const element of document.body.querySelectorAll('*')) {
        if (element.closest(skipped) || element.closest('script, style, noscript')) continue
        for (const name of heard) all.push(element.getAttribute(name) ?? '')
        for (const node of element.childNodes) if (node instanceof Text) all.push(node.data)
      }
      return all.filter((text) => text.trim() !== '')
    }, NOT_YET.join())
    expect(said.length).toBeGreaterThan(10)
    const bare = said.filter((text) => /\p{L}/u.test(outsideBrackets(text).replace(NO_MESSAGE, '')))
    expect(bare).toEqual([])
    await visitor.leave()
  })
})
