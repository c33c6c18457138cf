import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { writeTitle } from '../../src/title/file.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { readVcd } from '../title/vcd/read-vcd.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, goTo, paste } from './browser.ts'
import { leavesAxeContent, overflow, shot } from './looks.ts'

const MISREADER = 'Copper Kite Rally'

/** Past the first visit, at the titles. */
async function atTitles(visitor: Visitor): Promise<Page> {
  const page = await visitor.open(app.address)
  await page.getByRole('button', { name: 'See why a title misreads' }).click()
  await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
  await goTo(page, 'Titles')
  return page
}

const why = (page: Page) => page.getByRole('button', { name: `Why: ${MISREADER}` })
const diagram = (page: Page) => page.getByRole('img', { name: /^Timing diagram of the read/ })

describeWith('a misread explained in a browser', [CHROMIUM], () => {
  app.comesAndGoes()

  it('opens beneath its line by keys, tells it in words and on a scope, and saves it', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await atTitles(visitor)
    await why(page).focus()
    expect(await why(page).getAttribute('aria-expanded')).toBe('false')
    await page.keyboard.press('Enter')
    await diagram(page).waitFor()
    expect(await why(page).getAttribute('aria-expanded')).toBe('true')
    expect(await diagram(page).getAttribute('aria-label')).toContain(
      '12.12 µs into the read sees Up and Down',
    )
    await page.getByText('Trigger on the third falling edge of pin 7 in frame 1').waitFor()
    await page.getByRole('heading', { name: 'Missed press' }).waitFor()
    await page.getByText('With any pad, an original one included:').waitFor()
    await shot(page, 'explain')

    await page.keyboard.press('Tab')
    for (let k = 0; k < 12; k++) {
      if ((await page.evaluate(() => document.activeElement?.textContent)) === 'The diagram in words') break
      await page.keyboard.press('Tab')
    }
    await page.keyboard.press('Enter')
    const told = page
      .getByRole('listitem')
      .filter({ hasText: /^12\.12 µs\s*Misread: the sample of pins 1 and 2 sees Up and Down\.$/ })
    await told.waitFor()

    const [saved] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as VCD' }).click(),
    ])
    expect(saved.suggestedFilename()).toBe('copper-kite-rally.vcd')
    const misread = readVcd(readFileSync(await saved.path()), { signal: 'misread' })
    expect(misread.ok && misread.value.timesNs.length).toBe(3)

    await visitor.leave()
  })

  it('draws it again as the title is edited, and takes it away when it is mended', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await atTitles(visitor)
    const { name } = PLAIN.burst
    await paste(page, writeTitle(PLAIN.burst))
    await page.getByRole('button', { name: `Why: ${name}` }).click()
    await diagram(page).waitFor()
    await page.getByRole('button', { name: `Edit ${name}` }).click()
    const form = page.getByRole('region', { name: `Read pattern: ${name}` })
    const cycles = form.getByLabel('Cycles per read')
    await cycles.fill('3')
    await expect.poll(() => diagram(page).getAttribute('aria-label')).toContain('and 6 samples.')
    await cycles.fill('2')
    await diagram(page).waitFor({ state: 'detached' })
    const notes = page.getByRole('button', { name: `With any pad: ${name}` })
    await notes.click()
    expect(await notes.getAttribute('aria-expanded')).toBe('false')
    await page.getByRole('heading', { name: 'Change caught mid-read' }).waitFor({ state: 'detached' })
    await visitor.leave()
  })

  it('asks for lateness, clock and opposite directions, works out a rise, and marks what is tight', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await atTitles(visitor)
    const { name } = PLAIN.released
    await paste(page, writeTitle(PLAIN.released))
    await page.getByRole('button', { name: `Edit ${name}` }).click()
    const form = page.getByRole('region', { name: `Read pattern: ${name}` })
    await form.getByLabel('Read jitter').fill('12.5')
    await form.getByLabel('Console clock tolerance').fill('10001')
    await form.getByText('a whole number of parts per million from 0 to 10000').waitFor()
    await form.getByLabel('Console clock tolerance').fill('200')
    await form.getByText('From the pull-up and the cable').click()
    await form.getByText('10 kΩ and 150 pF: 1.37 µs').waitFor()
    await form.getByLabel('Capacitance').fill('300')
    await form.getByText('10 kΩ and 300 pF: 2.74 µs').waitFor()
    await form.getByRole('button', { name: 'Use as “at least”' }).click()
    const rise = form.getByRole('group', { name: 'Rise time through the pull-up' })
    await expect.poll(() => rise.getByLabel('at least').inputValue()).toBe('2.749')
    await form.getByLabel('Accepts opposite directions at once').uncheck()
    await page.reload()
    await page.getByRole('button', { name: `Edit ${name}` }).click()
    expect(await form.getByLabel('Read jitter').inputValue()).toBe('12.5')
    expect(await form.getByLabel('Console clock tolerance').inputValue()).toBe('200')
    expect(await form.getByLabel('Accepts opposite directions at once').isChecked()).toBe(false)

    await page.getByText('The tightest sample is in cycle 2 high, 25.78 µs into the read').waitFor()
    await page.getByRole('button', { name: 'See on the chart: Tidewatch' }).click()
    await page.getByText('tight, 52 ns margin').first().waitFor()
    await visitor.leave()
  })

  it('fits a phone and leaves nothing serious to axe, light and dark', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: PHONE, hasTouch: true })
    const page = await atTitles(visitor)
    await why(page).click()
    await diagram(page).waitFor()
    expect(await overflow(page)).toBe(0)
    const box = await diagram(page).boundingBox()
    expect(box && box.height > box.width).toBe(true)
    await diagram(page).scrollIntoViewIfNeeded()
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme })
      await shot(page, `phone-explain-${colorScheme}`)
      await leavesAxeContent(page, colorScheme)
    }
    await visitor.leave()
  })
})
