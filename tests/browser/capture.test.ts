import { readFileSync } from 'node:fs'
import type { Page, Worker } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest'
import { describeWith } from '../tools.ts'
import { dump, session } from '../ui/capture/captures.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, blockValue, goTo } from './browser.ts'
import { leavesAxeContent, shot } from './looks.ts'

/** One visit for all of it, as it takes its time to begin; each test leaves the sheet closed. */
let visitor: Visitor
let page: Page

const MUSEUM = readFileSync(
  new URL('../../static/demo/captures/copper-kite-rally.vcd', import.meta.url),
  'utf8',
)
/** Where the header ends and the first stamp after the initial values stands. */
const FIRST_CHANGE = MUSEUM.indexOf('\n#', MUSEUM.indexOf('$dumpvars')) + 1

const sheet = () => page.getByRole('dialog', { name: 'Read pattern from a capture' })
const put = () => sheet().getByRole('button', { name: 'Put it on the shelf' })

/** Drops a file of text anywhere on the page, with a megabyte put into its midst so many times. */
const drop = (name: string, text: string, megabytes = 0) =>
  page.evaluate(
    ([file, head, tail, count]) => {
      const filler = new Blob(['0"\n1"\n'.repeat(166_666)])
      const data = new DataTransfer()
      data.items.add(new File([head, ...Array.from({ length: count }, () => filler), tail], file))
      for (const type of ['dragenter', 'dragover', 'drop'])
        document.body.dispatchEvent(
          new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: data }),
        )
    },
    [name, text.slice(0, FIRST_CHANGE), text.slice(FIRST_CHANGE), megabytes] as const,
  )

async function close(): Promise<void> {
  await page.keyboard.press('Escape')
  await sheet().waitFor({ state: 'hidden' })
}

/** Goes by Tab to the button that puts the title on the shelf. */
async function tabToPut(): Promise<void> {
  for (let k = 0; k < 8; k++) {
    if (await put().evaluate((button) => button === document.activeElement)) return
    await page.keyboard.press('Tab')
  }
  throw new Error('Tab never came to the button')
}

describeWith('a capture becomes a title', [CHROMIUM], () => {
  app.comesAndGoes()
  beforeAll(async () => {
    visitor = await Visitor.arrive(app.browser)
    page = await visitor.open(`${app.address}#port`)
    await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
  }, 300_000)

  // A test that fails leaves the others their page.
  afterEach(async () => {
    if (await sheet().isVisible()) await close()
  })

  afterAll(async () => {
    await visitor?.leave()
  })

  it('is dropped, shows what was found, and is put on the shelf with its form open', async () => {
    await drop('tuesday.json', MUSEUM)
    await put().waitFor()
    expect(await sheet().getByLabel('Select line').inputValue()).toBe('port.select')
    const row = (label: string) => sheet().locator('dl > div', { hasText: label }).innerText()
    expect(await row('Cycles per read')).toMatch(/5\s+sure, 60 of 60 reads/)
    expect(await row('Sample after edge')).toMatch(/guess$/)
    expect(await row('Replies as')).toMatch(/a six-button pad; .*\s+sure, 60 of 60 reads$/)
    expect(await row('Reply time')).toMatch(/0 ns to 1 ns after an edge of select/)
    expect(await sheet().locator('.verdict').innerText()).toBe('undecided')
    await sheet().getByText('The capture by itself, whatever the title samples: At edge 5, ').waitFor()
    await sheet()
      .getByRole('img', { name: 'Select idles high; the read has 10 edges in 23.472 µs' })
      .waitFor()
    await expect.poll(() => sheet().getByRole('status').innerText()).toBe('A read pattern was found.')

    await sheet().getByLabel('Select line').selectOption('port.pin1')
    await expect.poll(() => row('Cycles per read')).toMatch(/1\s+sure/)
    await sheet().getByLabel('Select line').selectOption('port.pin9')
    await sheet().getByRole('alert').filter({ hasText: 'This line is high all the time' }).waitFor()
    await sheet().getByLabel('Select line').selectOption('port.select')
    await put().waitFor()

    const name = sheet().getByLabel('Name of the title')
    expect(await name.inputValue()).toBe('tuesday')
    await name.fill('')
    expect(await put().isDisabled()).toBe(true)
    await name.fill('Lamplighter')
    await put().click()
    const form = page.getByRole('region', { name: 'Read pattern: Lamplighter' })
    await expect.poll(() => form.getByLabel('Cycles per read').inputValue()).toBe('5')
    await expect
      .poll(() => form.getByLabel('Name').evaluate((input) => input === document.activeElement))
      .toBe(true)
  })

  it('is read as a stream of gigabytes, with progress, and let go at once', async () => {
    const before = [await blockValue(page, 'profile'), await blockValue(page, 'revision')]
    // Titles that take long are judged in workers, too, which come and go: what counts are those that come with the file.
    const others = new Set(page.workers())
    await drop('long.vcd', MUSEUM, 4_000)
    const progress = sheet().getByRole('progressbar')
    const come = (): Worker[] => page.workers().filter((worker) => !others.has(worker))
    await expect.poll(() => come().length).toBeGreaterThan(0)
    await expect.poll(() => progress.getAttribute('value').then(Number)).toBeGreaterThan(0)
    expect(await sheet().locator('label', { hasText: 'Reading' }).innerText()).toMatch(
      /^Reading: \d+ %, \d+(\.\d)? [kM]B of 4000 MB$/,
    )
    await shot(page, 'capture-progress')
    const reading = new Set(come())
    await sheet().getByRole('button', { name: 'Cancel' }).click()
    await sheet().getByText('Cancelled. Nothing was changed.').waitFor()
    await expect.poll(() => page.workers().filter((worker) => reading.has(worker)).length).toBe(0)
    await close()
    expect([await blockValue(page, 'profile'), await blockValue(page, 'revision')]).toEqual(before)
  })

  it('says what is wrong, with what was found all the same, and offers one of the museum’s', async () => {
    await drop('cut.vcd', dump({ frames: 2 }))
    await sheet().getByRole('alert').filter({ hasText: 'Capture for longer.' }).waitFor()
    await sheet().getByText('Edge spacing').waitFor()
    expect(await put().count()).toBe(0)
    await sheet().getByRole('button', { name: 'Close' }).click()
    await sheet().waitFor({ state: 'hidden' })

    await drop('broken.vcd', MUSEUM.replace('1 ns', '3 ns'))
    await sheet().getByRole('alert').filter({ hasText: 'broken.vcd: line 3' }).waitFor()
    await sheet().getByRole('button', { name: 'Try a capture from the museum' }).click()
    await sheet().getByText('copper-kite-rally.vcd').waitFor()
    await put().waitFor()
    await close()
  })

  it('is pasted, or picked as a session under another name, and asks where no line is called select', async () => {
    await page.evaluate((text) => {
      const data = new DataTransfer()
      data.setData('text/plain', text)
      document.body.dispatchEvent(
        new ClipboardEvent('paste', { bubbles: true, cancelable: true, clipboardData: data }),
      )
    }, MUSEUM)
    await put().waitFor()
    expect(await sheet().getByLabel('Name of the title').inputValue()).toBe('Pasted capture')
    await sheet().getByRole('button', { name: 'Cancel' }).click()
    await sheet().waitFor({ state: 'hidden' })

    await goTo(page, 'Titles')
    const chooser = page.waitForEvent('filechooser')
    await page.getByRole('button', { name: 'Open a file' }).click()
    const buffer = Buffer.from(session({ frames: 20 }, ['one', 'other'], 1))
    await (await chooser).setFiles([{ name: 'evening.json', mimeType: 'application/json', buffer }])
    await sheet().getByRole('alert').filter({ hasText: 'No line is called select' }).waitFor()
    await sheet().getByLabel('Select line').selectOption('other')
    await put().waitFor()
    await sheet().getByText('every 100 ns; edges are known to within that time').waitFor()
    await close()
  })

  it('has its lines assigned to pins where they are not named after them, by keyboard', async () => {
    const pins = ['pin1', 'pin2', 'pin3', 'pin4', 'pin6', 'pin9']
    await drop(
      'channels.vcd',
      pins.reduce((text, pin, k) => text.replace(` ${pin} `, ` D${k} `), MUSEUM),
    )
    await put().waitFor()
    await sheet().getByText('No data line of this capture is assigned to a pin.').waitFor()
    const lines = sheet().locator('summary', { hasText: 'Data lines' })
    expect(await lines.innerText()).toBe('Data lines: none assigned')
    await lines.press('Enter')
    for (const [k, pin] of pins.entries()) {
      await page.keyboard.press('Tab')
      const field = sheet().getByLabel(`Pin of port.D${k}`)
      expect(await field.evaluate((select) => select === document.activeElement)).toBe(true)
      await page.keyboard.type(`pin ${pin.slice(3)}`)
      await expect.poll(() => field.inputValue()).toBe(pin.slice(3))
    }
    await put().waitFor()
    await expect.poll(() => lines.innerText()).toBe('Data lines: 6 assigned')
    const row = (label: string) => sheet().locator('dl > div', { hasText: label }).innerText()
    await expect.poll(() => row('Replies as')).toMatch(/a six-button pad; .*\s+sure, 60 of 60 reads$/)
    await leavesAxeContent(page, 'data lines', sheet())
    await shot(page, 'capture-data-lines')

    await sheet().getByLabel('Pin of port.D1').selectOption('pin 1')
    await expect.poll(() => sheet().getByText('Pin 1 has more than one line').count()).toBe(2)
    await expect.poll(() => lines.innerText()).toBe('Data lines: 4 assigned')
    await close()
  })

  it('is all there for the keyboard alone, and gives the focus back', async () => {
    const opener = page.getByRole('button', { name: 'Open a file' })
    await opener.focus()
    await drop('evening.vcd', MUSEUM)
    await put().waitFor()
    await tabToPut()
    await close()
    expect(await opener.evaluate((button) => button === document.activeElement)).toBe(true)

    await drop('evening.vcd', MUSEUM)
    await put().waitFor()
    await tabToPut()
    await page.keyboard.press('Enter')
    await page.getByRole('region', { name: 'Read pattern: evening' }).waitFor()
  })

  it('leaves nothing serious to axe, and fits a phone', async () => {
    await drop('evening.vcd', MUSEUM)
    await put().waitFor()
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme })
      await leavesAxeContent(page, colorScheme, sheet())
      await shot(page, `capture-${colorScheme}`)
    }
    await page.setViewportSize(PHONE)
    await leavesAxeContent(page, 'phone', sheet())
    expect(await sheet().evaluate((dialog) => dialog.scrollWidth - dialog.clientWidth)).toBe(0)
    await shot(page, 'capture-phone')
    await close()
  })

  it('keeps the title when the page is loaded again', async () => {
    await page.reload()
    await page.getByRole('heading', { name: 'Lamplighter', exact: true }).waitFor()
  })
})
