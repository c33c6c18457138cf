import type { Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { writeTitle } from '../../src/title/file.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { withShort } from '../bench/short-titles.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { recordsIn } from './stored.ts'
import { CHROMIUM, Visitor, goTo, paste, verdictOf } from './browser.ts'

/**
 * Samples 150 ns after each edge: the reply is there after 100 ns at the adapter's connector, and 78 ns later behind 1.5 m of cable, but not
 * behind a short plug.
 */
const NAME = 'Gull Weather'
const EARLY = writeTitle(
  withShort(PLAIN.quick, { name: NAME, sampleAfterEdgeNs: { minNs: 150, maxNs: 260 } }),
)

const cable = (page: Page) => page.getByLabel('Cable to the console')
const row = (page: Page) =>
  page.getByRole('listitem').filter({ has: page.getByRole('heading', { name: NAME, exact: true }) })

describeWith('the cable that the user names', [CHROMIUM], () => {
  app.comesAndGoes()

  it('changes the verdicts, here and on the Port, and stays over a reload', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(`${app.address}#titles`)
    const chosen = () => cable(page).inputValue()
    const verdict = () => row(page).locator('.verdict').innerText()
    expect(await chosen()).toBe('unknown')
    await paste(page, EARLY)
    await expect.poll(verdict).toBe('misread')

    for (const [label, value, expected, words] of [
      ['short plug', 'short', 'tight', /^Samples 150 ns after the edge.*can take 1\d\d ns/],
      ['1.5 m cable', 'long', 'misread', /can take 178 ns: 28 ns too early/],
      ['short plug', 'short', 'tight', /^Samples 150 ns after the edge.*can take 1\d\d ns/],
      ['not known', 'unknown', 'misread', /can take 178 ns: 28 ns too early/],
    ] as const) {
      await cable(page).selectOption(label)
      await expect.poll(verdict).toBe(expected)
      await row(page).getByText(words).waitFor()
      // A page that is loaded again in the same instant may come before the write.
      await expect.poll(async () => (await recordsIn(page))['desk']).toMatchObject({ cable: value })
      await page.reload()
      await expect.poll(verdict).toBe(expected)
      expect(await chosen()).toBe(value)
      await goTo(page, 'Port')
      await expect.poll(() => verdictOf(page, NAME)).toBe(expected)
      await goTo(page, 'Titles')
    }
    await visitor.leave()
  })
})
