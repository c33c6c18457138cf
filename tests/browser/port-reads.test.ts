import type { Locator, Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { writeTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { newTitle } from '../../src/ui/titles/new-title.ts'
import { withPattern } from '../../src/ui/titles/ready-patterns.ts'
import { usualStarts } from '../../src/ui/titles/step-defaults.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, paste } from './browser.ts'
import { leavesAxeContent, overflow, shot } from './looks.ts'

const lowFirst = withPattern(newTitle('One Tide'), 'low-first')
const firstSteps = lowFirst.modes[0]?.reads[0]?.steps
const inPlay = withPattern(newTitle('-'), 'six-by-identification')

/** Low first in its menu; in play six buttons, and a read after them that samples too soon after its edge. */
const TWO_MODES: Title = {
  ...inPlay,
  name: 'Two Tides',
  modes: [
    { ...lowFirst.modes[0], name: 'Menu' },
    {
      name: 'In play',
      once: false,
      reads: [
        ...(inPlay.modes[0]?.reads ?? []),
        {
          starts: usualStarts('frame', 1),
          steps: firstSteps?.map((step, k) =>
            k === 1 ? { ...step, after: { minNs: 90, maxNs: 120 } } : step,
          ),
        },
      ],
    },
  ] as Title['modes'],
}

const samples = (page: Page): Locator => page.locator('.drawn .solid')
const looksRight = async (page: Page, name: string): Promise<void> => {
  expect(await overflow(page), name).toBeLessThanOrEqual(0)
  await leavesAxeContent(page, name, page.getByRole('main'))
  await shot(page, name)
}

describeWith('the read on the chart', [CHROMIUM], () => {
  app.comesAndGoes()

  it('is that of the verdict, or one that is chosen by key', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: { width: 1280, height: 800 } })
    const page = await visitor.open(app.address)
    await page.getByRole('button', { name: 'See why a title misreads' }).click()
    await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
    await paste(page, writeTitle(lowFirst))
    await page.getByRole('main').getByRole('button', { name: 'One Tide' }).click()
    const choice = page.getByLabel('Read on the chart')
    await expect.poll(() => samples(page).count()).toBe(2)
    expect(await choice.count()).toBe(0)
    await looksRight(page, 'port-low-first')

    await paste(page, writeTitle(TWO_MODES))
    await page.getByRole('main').getByRole('button', { name: 'Two Tides' }).click()
    await choice.waitFor()
    await page.getByText('The verdict is about this read.').waitFor()
    const judged = await choice.locator('option:checked').innerText()
    expect(judged).toMatch(/^In play, read 2: misread$/)
    await looksRight(page, 'port-two-modes-judged')

    await choice.focus()
    await page.keyboard.press('Home')
    await expect.poll(() => choice.locator('option:checked').innerText()).toBe('Menu')
    await expect.poll(() => samples(page).count()).toBe(2)
    await page.getByText('The verdict is about another read, which goes wrong:').waitFor()
    await looksRight(page, 'port-two-modes-menu')
    await page.setViewportSize(PHONE)
    await looksRight(page, 'port-two-modes-menu-phone')

    await page.getByRole('button', { name: `Show ${judged.split(':')[0]}` }).focus()
    await page.keyboard.press('Enter')
    await expect.poll(() => choice.locator('option:checked').innerText()).toBe(judged)
    expect(await choice.evaluate((element) => element === document.activeElement)).toBe(true)
    await looksRight(page, 'port-two-modes-judged-phone')
    await visitor.leave()
  })
})
