import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { writeProfile } from '../../src/profile/file.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, blockValue, goTo, paste, verdictOf } from './browser.ts'
import { leavesAxeContent, overflow, shot } from './looks.ts'

/** B and C changed about: what suits this title suits none of the others. */
const CROSSED_TITLE = readFileSync(
  new URL('../../static/demo/titles/harbour-lanterns.json', import.meta.url),
  'utf8',
)
  .replace('Harbour Lanterns', 'Left-hand Lantern')
  .replaceAll('"b"', '"?"')
  .replaceAll('"c"', '"b"')
  .replaceAll('"?"', '"c"')

const crossedProfile = () => {
  const { chart } = BUILT_IN_PROFILES['three-button']
  const [cycle] = chart.cycles
  if (!cycle) throw new Error('a chart has a cycle')
  const crossed = { ...cycle, high: { ...cycle.high, 6: 'c', 9: 'b' } } as const
  const answers = { cycles: [crossed], after: { kind: 'stay', reply: crossed } } as const
  return writeProfile({ ...BUILT_IN_PROFILES['three-button'], name: 'Left hand', chart: answers })
}

describeWith('plans and symptoms in a browser', [CHROMIUM], () => {
  app.comesAndGoes()

  it('plans the banks, puts the rules in as one step, flashes both and prints the card', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(`${app.address}#profile`)
    await page.getByLabel('Name').waitFor()
    const open = await blockValue(page, 'profile')
    await paste(page, CROSSED_TITLE)
    await paste(page, crossedProfile())
    await expect.poll(() => blockValue(page, 'profile')).toBe('Left hand')

    await goTo(page, 'Adapter')
    const plan = page.getByRole('region', { name: 'A bank for each title' })
    await plan.getByRole('button', { name: 'Plan the banks' }).click()
    await plan.getByText('2 banks cover 7 of 7 titles.').waitFor()
    const second = plan.getByRole('listitem').filter({ has: page.getByRole('heading', { name: /^Bank 2/ }) })
    expect(await second.innerText()).toMatch(/for 2 s while playing, then let go\.[^]*Left-hand Lantern/)
    await leavesAxeContent(page, 'plan')

    await plan.getByText('Titles: all 7').click()
    await plan.getByLabel('Left-hand Lantern').uncheck()
    await plan.getByText('1 bank covers 6 of 6 titles.').waitFor()
    await plan.getByLabel('Left-hand Lantern').check()
    await plan.getByText('2 banks cover 7 of 7 titles.').waitFor()

    await plan.getByRole('button', { name: 'Put these rules into the profiles' }).press('Enter')
    await plan.getByRole('heading', { name: 'Bank 2: Left hand, bank 2' }).waitFor()
    expect(await blockValue(page, 'profile')).toBe('Left hand')
    await page.getByRole('button', { name: 'Undo the rules of the plan' }).click()
    await plan.getByRole('button', { name: 'Put these rules into the profiles' }).click()

    for (const bank of [1, 2]) {
      await plan.getByRole('button', { name: `Go to flash of bank ${bank}` }).press('Enter')
      const flash = page.getByRole('button', { name: `Flash bank ${bank} of the demo adapter` })
      await page.keyboard.press('Tab')
      expect(await flash.evaluate((button) => button === document.activeElement)).toBe(true)
      await page.keyboard.press('Enter')
      await page.getByText('Verified: every byte matches.').waitFor()
      await expect.poll(() => plan.getByText('flashed', { exact: true }).count()).toBe(bank)
    }
    await shot(page, 'plan')

    await page.evaluate(() => (window.print = () => undefined))
    await plan.getByRole('button', { name: 'Print a card for the console' }).click()
    await page.emulateMedia({ media: 'print' })
    const card = page.getByRole('article', { name: 'Card to print' })
    expect(await card.innerText()).toContain('Left-hand Lantern')
    expect(await page.getByRole('main').isVisible()).toBe(false)
    await shot(page, 'plan-card')
    await page.emulateMedia({ media: 'screen' })
    expect(await card.isVisible()).toBe(false)
    await page.evaluate(() => dispatchEvent(new Event('afterprint')))
    await expect.poll(() => page.locator('.museum-card').count()).toBe(0)
    expect(open).not.toBe('Left hand')
    await visitor.leave()
  })

  it('goes from what is seen to a title on the shelf, by keys', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(app.address)
    await page.getByRole('button', { name: 'Diagnose by symptom' }).press('Enter')
    const sheet = page.getByRole('region', { name: 'Symptoms' })
    await sheet.getByRole('checkbox').first().waitFor()
    await page.keyboard.press('Tab')
    await page.keyboard.press('Space')
    expect(await sheet.getByLabel('A direction comes by itself').isChecked()).toBe(true)
    const said = sheet.getByRole('status')
    await said.getByText(/^\d+ kinds of title fit\. The likeliest: a title that/).waitFor()
    const all = await said.innerText()
    await leavesAxeContent(page, 'symptoms')

    const outcomes = sheet.getByRole('group', { name: 'Result of the trial' })
    await outcomes.getByRole('button').first().press('Enter')
    await expect.poll(() => said.innerText()).not.toBe(all)
    expect(await page.evaluate(() => document.activeElement?.className)).toContain('ask')
    await sheet.getByRole('button', { name: /^Take back: hold/ }).press('Enter')
    await expect.poll(() => said.innerText()).toBe(all)

    await sheet.getByRole('button', { name: 'Save as a title' }).press('Enter')
    await sheet.getByText('Give it a name first').waitFor()
    await sheet.getByLabel('Name of the title').fill('Gull Weather')
    await page.keyboard.press('Enter')
    await sheet.getByText('misread', { exact: true }).waitFor()
    await shot(page, 'symptoms')
    await sheet.getByRole('button', { name: 'See its read on the Port' }).press('Enter')
    await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
    expect(await verdictOf(page, 'Gull Weather')).toBe('misread')
    await page.goBack()
    await page.getByRole('region', { name: 'Symptoms' }).waitFor()
    await visitor.leave()
  })

  it('sets what is to be tried first, and undo takes it back', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(`${app.address}#first/symptoms`)
    await paste(page, writeProfile({ ...BUILT_IN_PROFILES['six-button'], name: 'Gull', powerOn: [] }))
    await expect.poll(() => page.url()).toContain('#profile')
    await page.goto(`${app.address}#first/symptoms`)
    const sheet = page.getByRole('region', { name: 'Symptoms' })
    await sheet.getByLabel('Opposite directions at once confuse it').check()
    // Of what confuses opposite directions, the title that knows three buttons only does nothing at X.
    await sheet.getByText('Hold X, and look.').waitFor()
    await sheet.getByRole('button', { name: 'Nothing happens' }).click()
    await sheet.getByText('One read pattern is left.').waitFor()
    await sheet.getByRole('button', { name: 'Set opposite directions to pass neither' }).click()
    await page.getByText('Gull is set. Flash it on the Adapter station, then look.').waitFor()
    await sheet.getByRole('button', { name: 'Ask about Gull' }).waitFor()
    await page.getByRole('button', { name: 'Undo set opposite directions to pass neither' }).click()
    await visitor.leave()
  })

  it('fits a phone, on paper and as a blueprint', async () => {
    const visitor = await Visitor.arrive(app.browser, {
      viewport: PHONE,
      hasTouch: true,
      deviceScaleFactor: 2,
    })
    const page = await visitor.open(`${app.address}#first/symptoms`)
    const fits = async (what: string) => {
      expect(await overflow(page)).toBe(0)
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme })
        await leavesAxeContent(page, `${what}, ${colorScheme}`)
        await shot(page, `phone-${what}-${colorScheme}`)
      }
    }
    const sheet = page.getByRole('region', { name: 'Symptoms' })
    await sheet.getByLabel('A direction comes by itself').check()
    await sheet.getByText(/kinds of title fit/).waitFor()
    await fits('symptoms')
    await page.goto(`${app.address}#adapter`)
    await page.getByRole('button', { name: 'Plan the banks' }).click()
    await page.getByText(/covers? \d of \d titles/).waitFor()
    await fits('plan')
    await visitor.leave()
  })
})
