import { readFileSync } from 'node:fs'
import type { Locator, Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { inputWord } from '../../src/port/input-texts.ts'
import { INPUTS, inputsIn, maskOf } from '../../src/port/pins.ts'
import type { InputMask } from '../../src/port/pins.ts'
import { decodeImage } from '../../src/profile/decode-image.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readTitle } from '../../src/title/file.ts'
import { actsIn } from '../bench/probe-player.ts'
import { chanceOf } from '../title/infer/capture-of.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, goTo, paste } from './browser.ts'
import { leavesAxeContent, overflow, shot } from './looks.ts'

const museum = (path: string) => readFileSync(new URL(`../../static/demo/${path}`, import.meta.url))

const CAPTURE = museum('captures/copper-kite-rally.vcd').toString()
const read = readTitle(museum('titles/copper-kite-rally.json'))
if (!read.ok) throw new Error(read.error.message)
/** What the captured title does: its edges are all that the app is given. */
const TRUTH = read.value
const NAME = 'Pasted capture'

const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name })
const row = (page: Page) =>
  page.getByRole('listitem').filter({ has: page.getByRole('heading', { name: NAME }) })
const sheet = (page: Page) => page.getByRole('region', { name: `Find out with the adapter: ${NAME}` })
const focused = (page: Page) => page.evaluate(() => document.activeElement?.textContent ?? '')

/** A title of which only the edges are known is on the shelf, and its sheet is open. */
async function begun(visitor: Visitor): Promise<Page> {
  const page = await visitor.open(`${app.address}#port`)
  await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
  await page.getByRole('navigation', { name: 'Stations' }).getByText('demo, bank').waitFor()
  await paste(page, CAPTURE)
  await button(page, 'Put it on the shelf').click()
  await goTo(page, 'Titles')
  await expect.poll(() => row(page).locator('.verdict').first().innerText()).toBe('undecided')
  await button(page, `Find out with the adapter: ${NAME}`).press('Enter')
  await sheet(page).waitFor()
  return page
}

/** Puts the probe in that is asked for. Gives what stands in its image, as saved. */
async function putIn(page: Page): Promise<Profile> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    button(page, 'Save the image as a file').click(),
  ])
  const image = decodeImage(readFileSync(await download.path()))
  if (!image.ok) throw new Error(JSON.stringify(image.error))
  await button(page, /^Put probe \d into the trial slot$/).press('Enter')
  await sheet(page).getByText('in the trial slot, verified').waitFor()
  await button(page, 'Continue to the question').press('Enter')
  await button(page, 'Not sure').waitFor()
  return image.value
}

const holdIn = (page: Page): Promise<string> => sheet(page).locator('form h3').innerText()

/** "Hold Up and C." */
const heldOf = (words: string): InputMask =>
  maskOf(INPUTS.filter((input) => new RegExp(`\\b${inputWord(input)}\\b`).test(words.replace('Hold', ''))))

/** What acts in the title, played step by step, as READ.md has it. */
const actsWith = (profile: Profile, words: string): InputMask =>
  actsIn(TRUTH, { probe: { id: '', profile }, mode: 0, held: heldOf(words) }, chanceOf(7))

async function answer(page: Page, acts: InputMask): Promise<void> {
  const form = sheet(page).locator('form')
  // All at once: twelve boxes one by one take their time.
  await form.evaluate((element, ticked) => {
    for (const label of element.querySelectorAll('label')) {
      const box = label.control as HTMLInputElement
      if (box.checked !== ticked.includes(label.innerText.trim())) box.click()
    }
  }, inputsIn(acts).map(inputWord))
  const step = await stepIn(page)
  await form.locator('button[type=submit]').press('Enter')
  await expect.poll(() => stepIn(page)).not.toBe(step)
  await sheet(page).locator('.steps[aria-busy=false]').waitFor()
}

/** Something that is another one with every step. */
const stepIn = async (page: Page): Promise<string> => {
  const asked = sheet(page).locator('.ask')
  return (await asked.count()) > 0 ? asked.innerText() : 'none'
}

const isOver = async (page: Page): Promise<boolean> => (await stepIn(page)) === 'none'

async function looksRight(page: Page, name: string, part: Locator): Promise<void> {
  for (const width of [PHONE.width, 1280]) {
    await page.setViewportSize({ width, height: 900 })
    expect(await overflow(page), name).toBeLessThanOrEqual(0)
    await leavesAxeContent(page, name, part)
    await shot(page, `probe-${name}-${width}`)
  }
}

describeWith('finding out with the adapter what a title does', [CHROMIUM], () => {
  app.comesAndGoes()

  it('goes from undecided to what is so, question by question, by key', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: { width: 1280, height: 900 } })
    const page = await begun(visitor)
    await expect.poll(() => focused(page)).toContain('Put probe 1 into the adapter')
    await looksRight(page, 'put', sheet(page))
    const profile = await putIn(page)
    await expect.poll(() => focused(page)).toContain('Hold')
    await looksRight(page, 'asked', sheet(page))

    // Not sure: the same is not asked again, and the way back leads to it.
    const first = await holdIn(page)
    await button(page, 'Not sure').press('Enter')
    await expect.poll(() => holdIn(page)).not.toBe(first)
    await button(page, 'Back').press('Enter')
    await expect.poll(() => holdIn(page)).toBe(first)
    await expect.poll(() => focused(page)).toContain('Question 1 again')
    await button(page, 'Leave it as answered').press('Enter')
    await expect.poll(() => focused(page)).toContain('Question 2')

    // Nothing is lost by leaving.
    for (let k = 0; k < 3; k++) await answer(page, actsWith(profile, await holdIn(page)))
    const before = await stepIn(page)
    await page.keyboard.press('Escape')
    await row(page).waitFor()
    await expect.poll(() => focused(page)).toBe(NAME)
    await button(page, `Find out with the adapter: ${NAME}`).click()
    await sheet(page).getByText('4 answers so far').waitFor()
    await expect.poll(() => stepIn(page)).toBe(before)

    // Broken off, it says what is known.
    await button(page, 'Stop asking').press('Enter')
    await expect.poll(() => focused(page)).toContain('What is known so far')
    await sheet(page).getByText('Still open').waitFor()
    await button(page, 'Ask on').press('Enter')

    while (!(await isOver(page))) await answer(page, actsWith(profile, await holdIn(page)))
    await expect.poll(() => focused(page)).toContain('What was found')
    expect(await sheet(page).locator('.verdict').first().innerText()).toContain('misread')
    expect(await sheet(page).locator('dd', { hasText: 'cycle 3 low' }).innerText()).toContain(
      'none says otherwise',
    )
    await looksRight(page, 'found', sheet(page))

    // A slip is seen and leads back to its question.
    const against = sheet(page).getByText('against the others', { exact: true })
    const again = sheet(page).getByRole('button', { name: /^Answer again/ })
    await again.nth(1).click()
    await answer(page, maskOf(INPUTS))
    expect(await against.count()).toBe(1)
    await sheet(page).getByText('One answer does not go with the others').first().waitFor()
    await looksRight(page, 'slip', sheet(page))
    await sheet(page).locator('li.against').getByRole('button').click()
    await answer(page, actsWith(profile, await holdIn(page)))
    await against.waitFor({ state: 'detached' })
    while (!(await isOver(page))) await answer(page, actsWith(profile, await holdIn(page)))

    await button(page, 'Keep in the title').press('Enter')
    await sheet(page).getByText('It is in the title, with its evidence.').waitFor()
    await sheet(page).getByText('The trial slot is armed').waitFor()
    await button(page, 'Empty the trial slot').press('Enter')
    await sheet(page).getByText('The trial slot is armed').waitFor({ state: 'detached' })
    await button(page, 'Close').press('Enter')
    await expect.poll(() => row(page).locator('.verdict').first().innerText()).toContain('misread')
    await row(page).getByText('What is known, and how').click()
    await row(page)
      .getByText(/^found with the adapter, \d trials/)
      .first()
      .waitFor()
    await page.keyboard.press('Control+z')
    await expect.poll(() => row(page).locator('.verdict').first().innerText()).toBe('undecided')

    // No bank was touched, and the address of a sheet that nobody has begun leads to the titles.
    await goTo(page, 'Adapter')
    await page.getByText('Six buttons').first().waitFor()
    await page.goto(`${app.address}#titles/probe`)
    await page.reload()
    await row(page).waitFor()
    await visitor.leave()
  })

  it('says what to do where nothing can be seen, and concludes nothing from it', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: PHONE, colorScheme: 'dark' })
    const page = await begun(visitor)
    await putIn(page)
    while (!(await isOver(page))) await answer(page, 0)
    await expect.poll(() => focused(page)).toContain('Nothing was seen')
    await sheet(page).getByText('Nothing is concluded from them.').waitFor()
    expect(await button(page, 'Keep in the title').count()).toBe(0)
    expect(await sheet(page).locator('.verdict').first().innerText()).toContain('undecided')
    await looksRight(page, 'nothing', sheet(page))
    await visitor.leave()
  })
})
