import type { Locator, Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { writeTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { newTitle } from '../../src/ui/titles/new-title.ts'
import { withPattern } from '../../src/ui/titles/ready-patterns.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, goTo, paste } from './browser.ts'
import { leavesAxeContent, overflow, shot } from './looks.ts'

/** Low first in its menu, six buttons in play. */
const TWO_MODES: Title = {
  ...withPattern(newTitle('Two Tides'), 'six-by-identification'),
  modes: [
    { ...withPattern(newTitle('-'), 'low-first').modes[0], name: 'menu' },
    { ...withPattern(newTitle('-'), 'six-by-identification').modes[0], name: 'in play' },
  ] as Title['modes'],
}

async function onTitles(visitor: Visitor): Promise<Page> {
  const page = await visitor.open(app.address)
  await page.getByRole('button', { name: 'See why a title misreads' }).click()
  await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
  await goTo(page, 'Titles')
  return page
}

const formOf = (page: Page, name: string): Locator =>
  page.getByRole('region', { name: `Read pattern: ${name}` })
const verdict = (form: Locator): Promise<string> => form.locator('.verdict').innerText()
const steps = (form: Locator): Locator => form.getByRole('list', { name: 'Steps of read 1' }).first()

/** Everything that a page holds can be seen at this width, and nothing serious is left to axe. */
async function looksRight(page: Page, form: Locator, name: string): Promise<void> {
  expect(await overflow(page), name).toBeLessThanOrEqual(0)
  await leavesAxeContent(page, name, form)
  await shot(page, name)
}

describeWith('the steps of a title', [CHROMIUM], () => {
  app.comesAndGoes()

  it('describes the commonest read in two clicks, and a step that is moved by key turns the verdict', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: { width: 1280, height: 900 } })
    const page = await onTitles(visitor)
    let clicks = 0
    const click = async (what: Locator) => {
      clicks++
      await what.click()
    }
    await click(page.getByRole('button', { name: 'Add a title of mine' }))
    const form = formOf(page, 'A title of mine')
    await click(form.getByRole('button', { name: 'Low first, once a frame' }))
    await expect.poll(() => verdict(form)).toBe('clean')
    await form.getByText('This title has more in it than the short form can say.').waitFor()
    expect(await steps(form).getByRole('button').allInnerTexts()).toEqual([
      expect.stringMatching(/low/),
      expect.stringMatching(/sample[\s\S]*6 A, 9 Start/),
      expect.stringMatching(/high/),
      expect.stringMatching(/sample[\s\S]*6 B, 9 C/),
    ])
    expect(clicks).toBe(2)
    await looksRight(page, form, 'steps-low-first')

    const thumb = form.getByRole('slider', { name: /^Step 2: sample/ })
    await thumb.focus()
    await page.keyboard.press('Shift+ArrowLeft')
    await expect.poll(() => verdict(form)).toBe('misread')
    expect(await thumb.getAttribute('aria-valuetext')).toBe('after 100 ns to 400 ns')
    await form.getByText('Can this be? It samples 100 ns after an edge').waitFor()
    await looksRight(page, form, 'steps-too-soon')
    await page.keyboard.press('Shift+ArrowRight')
    await page.keyboard.press('ArrowRight')
    await expect.poll(() => verdict(form)).toBe('clean')
    expect(await thumb.getAttribute('aria-valuetext')).toBe('after 1.53 µs to 1.83 µs')
    // Up and Down choose another step, and the row of it opens.
    await page.keyboard.press('ArrowDown')
    await expect
      .poll(() => steps(form).getByRole('button', { expanded: true }).getAttribute('data-row'))
      .toBe('modes[0].reads[0].steps[2]')
    // The pointer does the same.
    const box = await form.getByRole('slider', { name: /^Step 4: sample/ }).boundingBox()
    if (!box) throw new Error('not drawn')
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    await page.mouse.move(box.x + box.width / 2 - 60, box.y + box.height / 2, { steps: 6 })
    await page.mouse.up()
    const moved = await form.getByRole('slider', { name: /^Step 4: sample/ }).getAttribute('aria-valuetext')
    expect(moved).not.toBe('after 1.40 µs to 1.70 µs')
    await page.getByRole('main').focus()
    await page.keyboard.press('Control+z')
    await expect
      .poll(() => form.getByRole('slider', { name: /^Step 4: sample/ }).getAttribute('aria-valuetext'))
      .toBe('after 1.40 µs to 1.70 µs')

    // Figures that cannot be stand beside the step that they name, and the title stays.
    await steps(form).getByRole('button').nth(2).click()
    const after = form.getByRole('group', { name: 'Time', exact: true })
    await after.getByLabel('at least').fill('9')
    await after.getByText('This is above “at most”.').waitFor()
    await expect.poll(() => verdict(form)).toBe('clean')
    await page.setViewportSize(PHONE)
    await looksRight(page, form, 'steps-low-first-phone')
    await visitor.leave()
  })

  it('keeps the steps of a short title folded, and the short form goes when there is more in them', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: { width: 1280, height: 900 } })
    const page = await onTitles(visitor)
    await page.getByRole('button', { name: 'Add a title of mine' }).click()
    const form = formOf(page, 'A title of mine')
    const sample = form.getByRole('group', { name: 'From an edge to the sample after it' })
    await sample.getByLabel('at least').fill('0.4')
    await sample.getByText('Can this be? It samples 400 ns after an edge').waitFor()
    await sample.getByLabel('at least').fill('2.5')
    await sample.getByText('Can this be?').waitFor({ state: 'detached' })
    expect(await form.getByRole('slider').count()).toBe(0)
    await form.getByText('Step by step').click()
    await looksRight(page, form, 'steps-short')
    const edge = form.getByRole('slider', { name: /^Step 3: sample/ })
    await edge.focus()
    await page.keyboard.press('ArrowRight')
    await form.getByText('This title has more in it than the short form can say.').waitFor()
    expect(await sample.count()).toBe(0)
    // Who moves a step goes on moving it.
    expect(await edge.evaluate((element) => element === document.activeElement)).toBe(true)
    await form.getByRole('button', { name: 'Three buttons, high first' }).click()
    await sample.waitFor()
    await form.getByRole('button', { name: 'Low first, released select' }).click()
    await form.getByRole('group', { name: 'Rise time of released select' }).waitFor()
    await looksRight(page, form, 'steps-released')
    // A step goes up and down by key, and the focus goes with it.
    const third = steps(form).getByRole('button').nth(2)
    await third.focus()
    await page.keyboard.press('Alt+ArrowUp')
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.getAttribute('data-row')))
      .toBe('modes[0].reads[0].steps[1]')
    await visitor.leave()
  })

  it('opens a title with two modes, at desktop and phone width', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: { width: 1280, height: 900 } })
    const page = await onTitles(visitor)
    await paste(page, writeTitle(TWO_MODES))
    await page.getByRole('button', { name: 'Edit Two Tides' }).click()
    const form = formOf(page, 'Two Tides')
    await form.getByRole('region', { name: 'Mode 1: menu' }).waitFor()
    const play = form.getByRole('region', { name: 'Mode 2: in play' })
    expect(await play.getByRole('slider').count()).toBe(12)
    await expect.poll(() => verdict(form)).toMatch(/clean|tight|misread/)
    await play.getByRole('button', { name: /“identification”/ }).click()
    await play.getByLabel('Name of the sample').fill('third-low')
    await expect.poll(() => form.getByLabel('Sample', { exact: true }).inputValue()).toBe('third-low')
    await looksRight(page, form, 'steps-two-modes')
    await page.setViewportSize(PHONE)
    await looksRight(page, form, 'steps-two-modes-phone')
    await visitor.leave()
  })
})
