import type { Page, Route } from 'playwright-core'
import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { writeProfile } from '../../src/profile/file.ts'
import { writeTitle } from '../../src/title/file.ts'
import { describeWith } from '../tools.ts'
import { hopeless } from '../ui/fix/examples.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, goTo, verdictOf } from './browser.ts'
import { leavesAxeContent, overflow } from './looks.ts'

const MISREADER = 'Copper Kite Rally'
/** The six-button profile without a rule for the first cycle. */
const BARE = writeProfile({ ...BUILT_IN_PROFILES['six-button'], name: 'Bare', powerOn: [] })

/** On the Port, with these files on the shelf besides the demo. */
async function onPort(visitor: Visitor, ...files: string[]): Promise<Page> {
  const page = await visitor.open(app.address)
  if (files.length > 0) {
    await goTo(page, 'Titles')
    const [chooser] = await Promise.all([
      page.waitForEvent('filechooser'),
      page.getByRole('button', { name: 'Open a file' }).click(),
    ])
    await chooser.setFiles(
      files.map((text, k) => ({
        name: `${k}.json`,
        mimeType: 'application/json',
        buffer: Buffer.from(text),
      })),
    )
  }
  await goTo(page, 'Port')
  // A connected adapter states figures of its own, and what rests on them is looked for anew.
  await page.getByRole('navigation', { name: 'Stations' }).getByText('demo, bank').waitFor()
  await expect.poll(() => verdictOf(page, MISREADER)).toBe('misread')
  await chooseTitle(page, MISREADER)
  return page
}

const chooseTitle = (page: Page, name: string) =>
  page
    .getByRole('main')
    .getByRole('button', { name: new RegExp(`^${name}`) })
    .click()

const button = (page: Page, name: string) => page.getByRole('button', { name })
const focused = (page: Page) =>
  page.evaluate(
    () => document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent ?? '',
  )

describeWith('fixes, delay and auto-repeat on the Port', [CHROMIUM], () => {
  app.comesAndGoes()

  it('fixes one title or several, in one step, and says when nothing in the grid helps', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await onPort(visitor, BARE, writeTitle(hopeless))
    // Six buttons are gone with the best fix, and one title of the museum knows them.
    await page.getByText('reads worse then: Nine Moths').waitFor()
    await button(page, 'Other fixes').click()
    const hold = 'hold Centre left at power-on, so that only the first cycle replies'
    const holdButton = page.getByRole('button', { name: hold, exact: true })
    await holdButton.focus()
    await page.keyboard.press('Enter')
    await page
      .getByText('The rule is in the profile. Hold Centre left at every power-on from now on.')
      .waitFor()
    await page.getByText(`The profile already allows this: ${hold}.`).waitFor()
    // Without the hold nothing has changed, and who pressed it by key goes on from the verdict.
    expect(await verdictOf(page, MISREADER)).toBe('misread')
    expect(await focused(page)).toContain('misread')
    await button(page, `Undo ${hold}`).click()
    await holdButton.waitFor()

    await button(page, 'Fix for all titles on the shelf').click()
    await page.getByText(/that could matter were tried for these 7 at once/).waitFor()
    await page.getByRole('button', { name: 'None', exact: true }).click()
    await page.getByText('Choose the titles to fix.').waitFor()
    await page.getByRole('checkbox', { name: 'Harbour Lanterns' }).check()
    await page.getByText('All of them are clean: nothing to fix.').waitFor()
    for (const name of ['Tidewatch', MISREADER]) await page.getByRole('checkbox', { name }).check()
    await page.getByText('leaves Tidewatch tight').waitFor()
    await button(page, 'Fix all 3: stop after the second cycle').click()
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('clean')

    await chooseTitle(page, hopeless.name)
    await page.getByText(/all \d+ combinations of changes that could matter were tried\./).waitFor()
    await page.getByText('only an adapter with a shorter reply time would help').waitFor()
    await page.getByText('Changes tried').first().click()
    await page.getByText('0, 8, 16, 24, 32, 40, 48 and 56 ns').first().waitFor()
    await visitor.leave()
  })

  it('can be stopped and begun anew, and says when it could not run', async () => {
    // Without a service worker the test stands between the page and its workers.
    const visitor = await Visitor.arrive(app.browser, { serviceWorkers: 'block' })
    let gate: 'shut' | 'broken' | 'open' = 'shut'
    const held: Route[] = []
    await visitor.context.route('**/questions.worker*.js', async (route) => {
      if (gate === 'shut') held.push(route)
      else await (gate === 'open' ? route.continue() : route.abort())
    })
    const page = await onPort(visitor)
    await page.getByText('Looking for a fix: 0 combinations of changes tried').waitFor()
    await button(page, 'Stop looking').focus()
    await page.keyboard.press('Enter')
    await page.getByText('Stopped after 0 combinations of changes. The rest can still hold a fix.').waitFor()
    expect(await focused(page)).toContain('Stopped after')
    gate = 'broken'
    await button(page, 'Look again').click()
    const sentence =
      'A fix cannot be worked out: the page could not load what it needs. Nothing was changed. Check the network, then look again.'
    await page.getByText(sentence).waitFor()
    gate = 'open'
    await button(page, 'Look again').click()
    await button(page, 'Fix it: stop after the second cycle').waitFor()
    // The browser tells of the script that was withheld; nothing else may be wrong.
    visitor.complaints.splice(
      0,
      Infinity,
      ...visitor.complaints.filter((one) => !one.includes('questions.worker')),
    )
    await visitor.leave()
  })

  it('tells of delay and auto-repeat, on a blueprint as narrow as a phone', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: PHONE, colorScheme: 'dark' })
    const page = await onPort(visitor)
    await page.getByText('Latency', { exact: true }).click()
    await page.getByText(`Up, from the finger to ${MISREADER}; the pad reports every 8 ms`).waitFor()
    await page.getByLabel('Pad report interval').selectOption('1 ms')
    await page.getByLabel('Input').selectOption('Start')
    await page.getByText(`Start, from the finger to ${MISREADER}; the pad reports every 1 ms`).waitFor()
    // Evenly spread over an interval of 1 ms: half of it is the median.
    const scan = page.getByRole('row', { name: 'the pad scans its buttons' })
    expect(await scan.getByRole('cell').allInnerTexts()).toEqual([
      '0 ns',
      '500.00 µs',
      '950.00 µs',
      '1.00 ms',
    ])

    await goTo(page, 'Profile')
    await page.getByLabel('Auto-repeat of A').check()
    await page.getByText(`${MISREADER}: as asked`).waitFor()
    await button(page, 'On the Port: what it sees of A').click()
    await chooseTitle(page, 'Slack Water Signal')
    await page.getByText('Auto-repeat as the title reads it').click()
    await page.getByText('Every frame shows A the same').waitFor()
    const grid = page.getByRole('grid')
    await grid.getByRole('button', { name: '39.9 presses a second: 1 on, 2 off' }).focus()
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('Enter')
    // Two reads in each of 59.92 frames a second (SMPTE 170M, 262 lines), one press in four reads.
    await page.getByText('A is seen as asked: pressed in 2 of 4 samples, 29.96 Hz').waitFor()
    expect(await focused(page)).toBe('30.0 presses a second: 2 on, 2 off')
    expect(await grid.locator('[aria-pressed=true]').innerText()).toBe('30.0')

    await button(page, 'Fix for all titles on the shelf').click()
    await button(page, 'Fix all 6').waitFor()
    expect(await overflow(page)).toBe(0)
    await leavesAxeContent(page, 'the Port on a phone')
    await page.keyboard.press('Control+z')
    await page.getByText('Every frame shows A the same').waitFor()
    await visitor.leave()
  })
})
