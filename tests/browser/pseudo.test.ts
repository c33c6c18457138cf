import { readFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { t as adapter } from '../../src/ui/adapter/adapter-texts.ts'
import { t as app } from '../../src/ui/app-texts.ts'
import { setLanguage } from '../../src/words/texts.ts'
import { outsideBrackets, pseudoLanguage } from '../words/pseudo.ts'
import { app as served } from './app-in-browser.ts'
import { Visitor } from './browser.ts'

/**
 * The app speaks a made-up language: whatever is seen or heard without brackets was never a message, or was glued from pieces.
 */

/** What makers and users wrote: names and notes of what the demo and Ninepin itself lay out. */
function written(): string[] {
  const demo = 'static/demo'
  const files = readdirSync(demo, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.json'),
  )
  const documents = [
    ...files.map((name) => JSON.parse(readFileSync(join(demo, name), 'utf8')) as Record<string, unknown>),
    ...Object.values(BUILT_IN_PROFILES),
  ]
  return documents
    .flatMap(({ name, notes }) => [name, notes])
    .filter((text) => typeof text === 'string' && text !== '')
    .sort((one, other) => String(other).length - String(one).length) as string[]
}

/** Units, numbers, signs, what is printed on keys, and what the emulated adapter calls itself. */
const NO_MESSAGE =
  /(?<!\p{L})(?:Ninepin(?: board)?|ns|µs|ms|s|mm|Hz|kHz|MHz|CRC|UF2|VCD|USB|HID|DE9|[\dA-F]{4,}|Ctrl|Shift|Enter|Delete|Escape|\p{L})(?!\p{L})/gu

const NAMES = written()
const bare = (text: string): boolean => {
  let rest = outsideBrackets(text)
  for (const name of NAMES) rest = rest.replaceAll(name, '')
  return /\p{L}/u.test(rest.replace(NO_MESSAGE, ''))
}

/** All that is seen or heard of a page, hidden dialogs and closed parts included. */
const saidBy = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const heard = [
      'aria-label',
      'title',
      'placeholder',
      'alt',
      'aria-valuetext',
      'aria-description',
      'aria-roledescription',
    ]
    const all: string[] = [document.title]
    for (const element of document.body.querySelectorAll('*')) {
      if (element.closest('script, style, noscript')) continue
      for (const name of heard) all.push(element.getAttribute(name) ?? '')
      for (const node of element.childNodes) if (node instanceof Text) all.push(node.data)
    }
    return all.filter((text) => text.trim() !== '')
  })

async function saysMessages(page: Page, what: string): Promise<void> {
  const said = await saidBy(page)
  expect(said.length).toBeGreaterThan(10)
  expect([what, [...new Set(said.filter(bare))]]).toEqual([what, []])
}

describe('in a made-up language', () => {
  served.comesAndGoes()
  beforeAll(() => setLanguage(pseudoLanguage()))
  afterAll(() => setLanguage(null))

  const visit = async (hash: string): Promise<{ page: Page; visitor: Visitor }> => {
    const visitor = await Visitor.arrive(served.browser)
    await visitor.context.addInitScript((language) => {
      globalThis.ninepinLanguage = language
    }, pseudoLanguage())
    const page = await visitor.context.newPage()
    await page.goto(served.address + hash)
    await page.getByRole('main').getByRole('heading', { level: 2 }).first().waitFor()
    return { page, visitor }
  }

  it.each(['', '#pad', '#pad/learn', '#profile', '#adapter', '#port', '#titles', '#titles/symptoms'])(
    'the station at "%s" says nothing but messages',
    async (hash) => {
      const { page, visitor } = await visit(hash)
      await saysMessages(page, hash)
      for (const summary of await page.locator('summary').all()) await summary.click()
      await saysMessages(page, `${hash}, all opened`)
      await page.getByRole('button', { name: app.keys, exact: true }).click()
      await page.getByRole('dialog').first().waitFor()
      await saysMessages(page, `${hash}, the keys`)
      await visitor.leave()
    },
  )

  it('the station of a connected adapter says nothing but messages', async () => {
    const { page, visitor } = await visit('#adapter')
    await page.getByText(adapter.active, { exact: true }).first().waitFor()
    await saysMessages(page, 'the demo adapter')
    await visitor.leave()
  })
})
