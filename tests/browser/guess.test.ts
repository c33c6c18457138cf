import type { Locator } from 'playwright-core'
import { expect, it } from 'vitest'
import { writeTitle } from '../../src/title/file.ts'
import { leaveOpen } from '../../src/title/leave-open.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, goTo, paste } from './browser.ts'
import { leavesAxeContent, overflow, shot } from './looks.ts'

/** Edges of five cycles, as a capture shows them: what is sampled, and what for, is not known. */
const OPEN = leaveOpen(
  {
    ...PLAIN.burst,
    name: 'Gull Weather',
    notes: 'Seen in a capture.\nIdle level: high (sure)\nCycles: 5 (sure)',
  },
  () => ({ minNs: 1_000, maxNs: 1_600, source: { kind: 'guessed' } }),
)

const onTitles = async (visitor: Visitor) => {
  const page = await visitor.open(app.address)
  await page.getByRole('button', { name: 'See why a title misreads' }).click()
  await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
  await goTo(page, 'Titles')
  return page
}

const valueText = (slider: Locator) => slider.getAttribute('aria-valuetext')

describeWith('what is not known of a title', [CHROMIUM], () => {
  app.comesAndGoes()

  it('a guess is tried by key along its range, judged as it goes, and edits nothing until it is used', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: { width: 1280, height: 900 } })
    const page = await onTitles(visitor)
    await page.getByRole('button', { name: 'Add a title of mine' }).click()
    const form = page.getByRole('region', { name: 'Read pattern: A title of mine' })
    await form.getByLabel('Inputs read').selectOption('first')
    const verdict = () =>
      form
        .getByRole('heading', { level: 2 })
        .locator('..')
        .locator('..')
        .locator('.verdict')
        .first()
        .innerText()
    await expect.poll(verdict).toBe('clean')
    const samples = form.locator('div:has(> fieldset)', { hasText: 'From an edge to the sample after it' })
    await form
      .getByRole('button', { name: 'Try other values: From an edge to the sample after it' })
      .press('Enter')
    const slider = form.getByRole('slider', { name: 'From an edge to the sample after it: try a value' })
    await slider.waitFor()
    // The scale says all of it, in words that are read with the slider.
    const scale = form.getByRole('list', { name: 'The verdict along it' })
    expect(await scale.getByRole('listitem').allInnerTexts()).toEqual([
      expect.stringMatching(/^misread\s*0 ns to 178 ns$/),
      expect.stringMatching(/^tight\s*179 ns to 377 ns$/),
      expect.stringMatching(/^clean\s*378 ns to /),
    ])
    await slider.focus()
    await page.keyboard.press('Home')
    expect(await valueText(slider)).toBe('0 ns: misread')
    await form.getByText('Samples 0 ns after the edge, but the reply').waitFor()
    // Only tried: the title is what it was.
    expect(await verdict()).toBe('clean')
    expect(await samples.getByLabel('at least').inputValue()).toBe('2.5')
    for (let k = 0; k < 5; k++) await page.keyboard.press('ArrowRight')
    expect(await valueText(slider)).toBe('250 ns: tight')
    await form.getByText('Samples 250 ns after the edge').waitFor()
    expect(await overflow(page)).toBeLessThanOrEqual(0)
    await leavesAxeContent(page, 'guess', form)
    await shot(page, 'guess')

    await page.keyboard.press('Tab')
    await page.keyboard.press('Enter')
    await slider.waitFor({ state: 'detached' })
    await expect.poll(verdict).toBe('tight')
    expect(await samples.getByLabel('at least').inputValue()).toBe('0.25')
    expect(await samples.getByLabel('at most').inputValue()).toBe('0.25')
    await samples.getByText('typed in', { exact: true }).waitFor()
    // The keyboard goes on from there, and one undo brings the guess back.
    expect(await page.evaluate(() => document.activeElement?.textContent)).toContain('typed in')
    await page.keyboard.press('Control+z')
    await samples.getByText('preset', { exact: true }).waitFor()
    expect(await samples.getByLabel('at least').inputValue()).toBe('2.5')
    await expect.poll(verdict).toBe('clean')

    await page.setViewportSize(PHONE)
    await form.getByRole('button', { name: 'Try other values: From an edge to the sample after it' }).click()
    await slider.waitFor()
    expect(await overflow(page)).toBeLessThanOrEqual(0)
    await leavesAxeContent(page, 'guess-phone', form)
    await shot(page, 'guess-phone')
    await visitor.leave()
  })

  it('an undecided title says both sides, and each answer to its trial stands next to what it brings', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: PHONE })
    const page = await onTitles(visitor)
    await paste(page, writeTitle(OPEN))
    const row = page
      .getByRole('listitem')
      .filter({ has: page.getByRole('heading', { name: 'Gull Weather' }) })
    await expect.poll(() => row.locator('.verdict').first().innerText()).toBe('undecided')
    await row.getByText(/^Clean if /).waitFor()
    await row
      .getByText(/^Misread if /)
      .first()
      .waitFor()
    for (const width of [PHONE.width, 1280]) {
      await page.setViewportSize({ width, height: 900 })
      for (const name of ['It does', 'It does not']) {
        const button = row.getByRole('button', { name, exact: true })
        const words = page.locator(`[id="${await button.getAttribute('aria-describedby')}"]`)
        const [box, beside] = [await button.boundingBox(), await words.boundingBox()]
        if (!box || !beside) throw new Error('not drawn')
        expect(beside.x, name).toBeGreaterThan(box.x + box.width)
        expect(beside.y, name).toBeLessThan(box.y + box.height)
        expect(beside.y + beside.height, name).toBeGreaterThan(box.y)
      }
      expect(await overflow(page)).toBeLessThanOrEqual(0)
      await shot(page, `undecided-${width}`)
    }
    // Of the notes the first line stands there; no sentence is said twice where all is unfolded.
    await row.getByText('Idle level: high (sure)').waitFor({ state: 'hidden' })
    await row.getByText('All of the notes').click()
    await row.getByText('Idle level: high (sure)').waitFor()
    await row.getByText(/^What would misread/).click()
    const text = await row.innerText()
    expect(text.match(/Reads five cycles in one burst\./g)).toHaveLength(1)

    await row.getByText('What is known, and how').click()
    await row.getByRole('button', { name: 'Try other values: Edge to sample' }).waitFor()
    await row.getByText(/left open/).waitFor()
    await leavesAxeContent(page, 'known', row)
    await shot(page, 'known')
    // A six-button pad identifies itself in the third cycle (port-facts): whether that hurts is tried by key, and only tried.
    await row.getByRole('button', { name: 'Try how many cycles it uses' }).press('Enter')
    const cycles = row.getByRole('slider', { name: 'Cycles that it uses' })
    await cycles.waitFor()
    await cycles.focus()
    expect(await valueText(cycles)).toBe('the first cycle: clean')
    for (let k = 0; k < 2; k++) await page.keyboard.press('ArrowRight')
    expect(await valueText(cycles)).toBe('the first 3 cycles: misread')
    const scale = row.getByRole('list', { name: 'The verdict along it' })
    expect(await scale.getByRole('listitem').allInnerTexts()).toEqual([
      expect.stringMatching(/^clean\s*1 to 2 cycles$/),
      expect.stringMatching(/^misread\s*3 to \d cycles$/),
    ])
    expect(await row.locator('.verdict').first().innerText()).toBe('undecided')
    await leavesAxeContent(page, 'cycles', row)
    await shot(page, 'cycles')

    const before = await row.getByText(/^What would misread/).innerText()
    await row.getByRole('button', { name: 'It does not' }).click()
    await expect.poll(() => row.innerText()).not.toContain(before)
    await row.getByText('found with the adapter, 1 trial').first().waitFor()
    await visitor.leave()
  })
})
