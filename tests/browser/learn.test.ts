import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { beforeAll, expect, it } from 'vitest'
import { readLayout } from '../../src/pad/layout/file.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, goTo } from './browser.ts'
import { fakeHid, fakePad } from './fake-hid.ts'
import { filled, leavesAxeContent, overflow, shot } from './looks.ts'

/** For what may be gone by now. */
const SOON = { timeout: 1000 } as const

/** What the pad does for each thing that is asked; it has nothing else. */
const DOES: readonly (readonly [RegExp, Readonly<Record<number, number>>])[] = [
  [/^Press up on/, { 0: 0 }],
  [/^Press down on/, { 0: 4 }],
  [/^Press left on/, { 0: 6 }],
  [/^Press right on/, { 0: 2 }],
  [/the lowest of the four/, { 1: 0b0000_0010 }],
  [/the rightmost of the four/, { 1: 0b0000_0100 }],
  [/the leftmost of the four/, { 1: 0b0000_0001 }],
  [/the highest of the four/, { 1: 0b0000_1000 }],
  [/the one that starts/, { 2: 0b0000_0010 }],
  [/left trigger/, { 5: 250 }],
  [/^Push the left stick up/, { 4: 0 }],
  [/^Push the left stick to the right/, { 3: 255 }],
]

const asked = (page: Page) => page.locator('.asking .ask')
const state = (page: Page) => page.locator('.asking .state')

/** Rolls the left stick until the sheet asks for something else. */
async function roll(page: Page): Promise<void> {
  const pad = fakePad(page)
  await expect.poll(() => state(page).innerText()).toMatch(/^Round/)
  // As fast as a thumb and no faster: the pad reports every 8 ms, and has to tell which way round it goes.
  for (let step = 0; step <= 600; step++) {
    if (step % 12 === 0 && !/^Round/.test(await state(page).innerText())) break
    await page.waitForTimeout(24)
    const angle = (step * 2 * Math.PI) / 12
    const at = (share: number) => Math.max(0, Math.min(255, Math.round(128 + 127 * share)))
    await pad.hold({ 3: at(Math.cos(angle)), 4: at(Math.sin(angle)) })
  }
  await pad.hold({})
}

/** Does the one thing that is asked, by pad or, where the pad has none, by key. Gives what was asked. */
async function answer(page: Page): Promise<string> {
  const words = await asked(page).innerText()
  const pad = fakePad(page)
  const does = DOES.find(([pattern]) => pattern.test(words))
  if (/^Roll the left/.test(words)) await roll(page)
  else if (does) {
    await expect.poll(() => state(page).innerText()).toBe('Waiting for it.')
    await pad.hold(does[1])
    await expect.poll(() => state(page).innerText()).toMatch(/^Seen: /)
    await pad.hold({})
  } else await page.keyboard.press('Enter')
  return words
}

/** Goes through all that is asked. Gives the words, in their order. */
async function learnAll(page: Page): Promise<string[]> {
  const words: string[] = []
  await expect.poll(() => asked(page).innerText()).toBe('Press up on the cross.')
  const done = page.getByRole('heading', { name: 'Controls found' })
  const progress = async () =>
    (await done.isVisible()) ? 'done' : await page.locator('.asking .progress').innerText(SOON)
  for (let k = 0; k < 40; k++) {
    const before = await progress()
    words.push(await answer(page))
    await expect.poll(() => progress().catch(() => before)).not.toBe(before)
    if (await done.isVisible()) return words
  }
  throw new Error('it never came to an end')
}

/** A pad that the browser shows but does not know: eight buttons in an order of its own. */
const showGamepad = (page: Page, numbers: string) =>
  page.evaluate((id) => {
    const held: number[] = []
    Object.assign(window, { heldOnGamepad: held })
    const pad = () => ({
      id: `Saltmarsh loan pad ${id}`,
      index: 0,
      connected: true,
      mapping: '',
      timestamp: performance.now(),
      axes: [],
      buttons: Array.from({ length: 8 }, (_, k) => {
        const pressed = held.includes(k)
        return { pressed, touched: pressed, value: pressed ? 1 : 0 }
      }),
    })
    navigator.getGamepads = () => [pad() as unknown as Gamepad, null, null, null]
  }, numbers)
const pressGamepad = (page: Page, buttons: readonly number[]) =>
  page.evaluate(
    (now) => {
      const { heldOnGamepad } = window as unknown as { heldOnGamepad: number[] }
      heldOnGamepad.splice(0, heldOnGamepad.length, ...now)
    },
    [...buttons],
  )

async function startLearning(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Learn a pad' }).click()
  await page.getByRole('heading', { name: 'From its own reports' }).waitFor()
  await page.getByRole('button', { name: 'Choose a pad' }).click()
  await asked(page).waitFor()
}

/** A visitor whose browser has a pad behind WebHID, on the Pad station. */
async function withPad(): Promise<{ visitor: Visitor; page: Page }> {
  const visitor = await Visitor.arrive(app.browser)
  await visitor.context.addInitScript(fakeHid)
  const page = await visitor.open(`${app.address}#pad`)
  await page.getByRole('heading', { name: 'Pads', exact: true }).waitFor()
  return { visitor, page }
}

describeWith('learning a pad in a browser', [CHROMIUM], () => {
  app.comesAndGoes()
  beforeAll(async () => {}, 600_000)

  it('learns a whole pad with pad and keys, plays it at once, and has it after a reload', async () => {
    const { visitor, page } = await withPad()
    const pad = fakePad(page)
    await startLearning(page)
    expect(page.url()).toMatch(/#pad\/learn$/)
    await expect.poll(() => asked(page).innerText()).toBe('Press up on the cross.')

    // One step back forgets the answer, and asks again.
    await answer(page)
    await expect.poll(() => asked(page).innerText()).toBe('Press down on the cross.')
    await page.keyboard.press('Backspace')
    await leavesAxeContent(page, 'asking')
    await shot(page, 'learn-asking')
    const words = await learnAll(page)
    expect(words.filter((one) => one.startsWith('Press a button that was not asked')).length).toBeGreaterThan(
      0,
    )
    expect(words.some((one) => one.startsWith('Roll the right'))).toBe(false)

    const table = page.getByRole('table', { name: 'Where each control is in the reports' })
    const row = (name: string) => table.getByRole('row', { name: new RegExp(`^${name}`) }).innerText()
    expect(await row('D-pad, all directions')).toMatch(
      /3\s+byte 0, bit 0\s+4\s+8 positions clockwise, 0 is up/,
    )
    expect(await row('Face south')).toMatch(/3\s+byte 1, bit 1\s+1\s+held at 1/)
    expect(await row('Left trigger')).toMatch(/3\s+byte 5, bit 0\s+8\s+held from 1\d\d up/)
    expect(await row('Left stick, left to right')).toMatch(/byte 3, bit 0\s+8\s+[0-9] to 25\d, centre 12\d/)
    await page.getByText('Ignored: byte 6 counts by itself.').waitFor()
    await leavesAxeContent(page, 'outcome')
    await shot(page, 'learn-outcome')

    // What is pressed is tried at once.
    await pad.hold({ 0: 1, 1: 2 })
    await expect.poll(() => page.locator('.outcome path.held').count()).toBe(3)
    await pad.hold({})

    // One is learned again, one is set by hand, one is taken out.
    await page.getByRole('button', { name: 'Relearn Face east' }).click()
    await expect.poll(() => asked(page).innerText()).toMatch(/rightmost/)
    await expect.poll(() => state(page).innerText()).toBe('Waiting for it.')
    await pad.hold({ 1: 0b0001_0000 })
    await expect.poll(() => state(page).innerText()).toMatch(/^Seen: Button 5/)
    await pad.hold({})
    await table.waitFor()
    expect(await row('Face east')).toMatch(/byte 1, bit 4/)
    await page.getByRole('button', { name: 'Edit Face north by hand' }).click()
    const form = page.getByRole('group', { name: 'Edit by hand' })
    await form.getByLabel('Location').selectOption({ label: 'Button 4, report 3, bit 11' })
    await form.getByLabel('held at').fill('0')
    await form.getByLabel('released at').fill('1')
    await form.getByRole('button', { name: 'Apply the change' }).click()
    expect(await row('Face north')).toMatch(/byte 1, bit 3\s+1\s+held at 0/)
    await page.getByRole('button', { name: 'Remove Face north' }).click()
    expect(await table.getByRole('row', { name: /^Face north/ }).count()).toBe(0)

    const name = page.getByLabel('Name of the pad')
    expect(await name.inputValue()).toBe('Saltmarsh loan pad')
    await name.fill('Loan pad 7')
    await page.getByRole('button', { name: 'Save', exact: true }).click()

    const pads = page.getByRole('region', { name: 'Pads' })
    await pads.getByText('in use', { exact: true }).waitFor()
    await pads.getByText('1209:0002').waitFor()
    await page.getByText('read by its own reports', { exact: false }).first().waitFor()
    await goTo(page, 'Port')
    await pad.hold({ 0: 4 })
    await expect.poll(() => filled(page)).toEqual(['Down'])
    await pad.hold({ 3: 0 })
    await expect.poll(() => filled(page)).toEqual(['Left'])
    await pad.hold({})
    await expect.poll(() => filled(page)).toEqual([])

    // The same pad as the browser shows it is not counted a second time.
    await showGamepad(page, '(Vendor: 1209 Product: 0002)')
    await pressGamepad(page, [0])
    await pad.hold({ 0: 4 })
    await expect.poll(() => filled(page)).toEqual(['Down'])
    await pad.hold({})
    await expect.poll(() => filled(page)).toEqual([])
    await pressGamepad(page, [])

    await page.keyboard.press('Control+z')
    await goTo(page, 'Pad')
    await pads.getByText('1209:0002').waitFor({ state: 'detached' })
    await page.keyboard.press('Control+Shift+z')
    await pads.getByText('in use', { exact: true }).waitFor()

    await page.reload()
    await pads.getByText('in use', { exact: true }).waitFor()
    await goTo(page, 'Port')
    await fakePad(page).hold({ 0: 2 })
    await expect.poll(() => filled(page)).toEqual(['Right'])

    // Unplugged with a button held: nothing stays pressed.
    await fakePad(page).unplug()
    await expect.poll(() => filled(page)).toEqual([])
    await fakePad(page).hold({ 0: 0 })
    await fakePad(page).plug()
    await expect.poll(() => filled(page)).toEqual(['Up'])

    await goTo(page, 'Pad')
    await shot(page, 'pads')
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Export Loan pad 7' }).click(),
    ])
    const exported = readLayout(readFileSync(await download.path()))
    expect(exported.ok && exported.value.pad).toMatchObject({ via: 'hid', vendorId: 0x1209, productId: 2 })
    await page.getByRole('button', { name: 'Edit name and notes of Loan pad 7' }).click()
    await pads.getByLabel('Name', { exact: true }).fill('Loan pad 8')
    await pads.getByRole('button', { name: 'Remove Loan pad 8' }).click()
    await pads.getByText('1209:0002').waitFor({ state: 'detached' })
    await page.keyboard.press('Control+z')
    await pads.getByText('Loan pad 8').waitFor()
    await visitor.leave()
  })

  it('says why where the browser’s list gives no pad, and loses nothing', async () => {
    const { visitor, page } = await withPad()
    const pad = fakePad(page)
    await page.getByRole('button', { name: 'Learn a pad' }).click()
    await pad.list('nothing')
    await page.getByRole('button', { name: 'Choose a pad' }).click()
    await page.getByRole('alert').filter({ hasText: 'Nothing was chosen in the browser’s list.' }).waitFor()
    await pad.list('forbidden')
    await page.getByRole('button', { name: 'Show all devices' }).click()
    await page.getByRole('alert').filter({ hasText: 'does not let this page ask for devices' }).waitFor()
    await leavesAxeContent(page, 'sources')
    await shot(page, 'learn-sources')
    await pad.list('pad')
    await page.getByRole('button', { name: 'Choose a pad' }).click()
    await asked(page).waitFor()
    // Nothing was learned: Escape asks nothing.
    await page.keyboard.press('Escape')
    await page.getByRole('heading', { name: 'Pads', exact: true }).waitFor()
    await visitor.leave()
  })

  it('goes on where it was when the pad vanishes and returns, and when the user looks elsewhere', async () => {
    const { visitor, page } = await withPad()
    const pad = fakePad(page)
    await startLearning(page)
    await expect.poll(() => asked(page).innerText()).toBe('Press up on the cross.')
    await answer(page)
    await expect.poll(() => asked(page).innerText()).toBe('Press down on the cross.')
    await pad.unplug()
    await expect.poll(() => asked(page).innerText()).toBe('The pad is gone. Plug it in again.')
    expect(await state(page).innerText()).toMatch(/^Nothing is lost: 1 of/)
    await leavesAxeContent(page, 'gone')
    await pad.plug()
    await expect.poll(() => asked(page).innerText()).toBe('Press down on the cross.')

    await goTo(page, 'Port')
    await goTo(page, 'Pad')
    await page.getByRole('button', { name: 'Continue learning' }).click()
    await expect.poll(() => asked(page).innerText()).toBe('Press down on the cross.')
    await answer(page)
    await expect.poll(() => asked(page).innerText()).toBe('Press left on the cross.')

    await page.keyboard.press('Escape')
    const dialog = page.getByRole('dialog', { name: 'Close without saving?' })
    await dialog.getByRole('button', { name: 'Continue learning' }).click()
    await expect.poll(() => asked(page).innerText()).toBe('Press left on the cross.')
    await page.getByRole('button', { name: 'Finish' }).click()
    await page.getByRole('row', { name: /^D-pad, all directions/ }).waitFor()
    await page.keyboard.press('Escape')
    await dialog.getByRole('button', { name: 'Discard' }).click()
    await page.getByRole('button', { name: 'Learn a pad' }).waitFor()
    await visitor.leave()
  })

  it('learns a pad that only the Gamepad API shows, for this page', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(`${app.address}#pad`)
    await showGamepad(page, '(Vendor: 1209 Product: 0004)')
    await page.getByText('read in the browser’s order of buttons').waitFor()
    await page.getByRole('button', { name: 'Learn a pad' }).click()
    await page.getByRole('button', { name: 'Saltmarsh loan pad' }).click()
    await expect.poll(() => asked(page).innerText()).toBe('Press up on the cross.')
    await expect.poll(() => state(page).innerText()).toBe('Waiting for it.')
    await pressGamepad(page, [7])
    await expect.poll(() => state(page).innerText()).toMatch(/^Seen: buttons\[7\]/)
    await pressGamepad(page, [])
    await expect.poll(() => asked(page).innerText()).toBe('Press down on the cross.')
    await page.getByRole('button', { name: 'Finish' }).click()
    await page.getByText('on this page only: the adapter cannot use it').waitFor()
    await page.getByRole('button', { name: 'Save', exact: true }).click()
    await page.getByText('read as it was learned').waitFor()
    await pressGamepad(page, [7])
    await expect.poll(() => page.locator('[data-control="dpad-up"].held').count()).toBe(1)
    await visitor.leave()
  })

  it('tells what a browser lacks, and learns from a descriptor there, on a phone', async () => {
    const visitor = await Visitor.arrive(app.browser, { viewport: PHONE, colorScheme: 'dark' })
    await visitor.context.addInitScript(() => {
      for (const name of ['hid', 'serial', 'usb', 'getGamepads'])
        Reflect.deleteProperty(Navigator.prototype, name)
    })
    const page = await visitor.open(`${app.address}#pad`)
    await page.getByText('This browser lacks Gamepad API and WebHID').click()
    await page.getByText('Without it: the keyboard and the drawn pad work', { exact: false }).waitFor()
    await page.getByRole('button', { name: 'Learn a pad' }).click()
    await page.getByText('This browser has no WebHID.', { exact: false }).waitFor()
    await page.getByText('This browser shows no gamepads', { exact: false }).waitFor()
    expect(await overflow(page)).toBe(0)
    await leavesAxeContent(page, 'sources on a phone')
    await shot(page, 'learn-phone')

    const descriptor = page.getByLabel('Report descriptor', { exact: true })
    const read = page.getByRole('button', { name: 'Read the pasted text' })
    await descriptor.fill('05 01 zz')
    await read.click()
    await page.getByRole('alert').filter({ hasText: 'Vendor and product number are missing' }).waitFor()
    await page.getByLabel('Vendor number').fill('1209')
    await page.getByLabel('Product number').fill('0x0003')
    await read.click()
    await page.getByRole('alert').filter({ hasText: 'line 1, column 7' }).waitFor()
    // Written by the tables of HID 1.11 section 6.2.2: a joystick of two buttons and two axes.
    const sound =
      '05 01 09 04 a1 01 05 09 19 01 29 02 15 00 25 01 75 01 95 02 81 02 95 06 81 03\n' +
      '05 01 09 30 09 31 15 81 25 7f 75 08 95 02 81 02 c0'
    await descriptor.fill(sound.slice(0, 60))
    await read.click()
    await page
      .getByRole('alert')
      .filter({ hasText: /^! Byte \d+: / })
      .waitFor()
    await descriptor.fill(sound)
    await read.click()
    await page.getByRole('heading', { name: 'Controls found' }).waitFor()
    await page.getByText('The report in the descriptor').click()
    await page
      .getByRole('cell', { name: 'Button 1 to Button 2' })
      .or(page.getByRole('cell', { name: 'Button 1' }))
      .first()
      .waitFor()
    await page.getByRole('row', { name: /^Left stick, left to right/ }).waitFor()
    expect(await overflow(page)).toBe(0)
    await leavesAxeContent(page, 'outcome on a phone')
    await shot(page, 'learn-phone-outcome')
    await page.getByRole('button', { name: 'Save', exact: true }).click()
    await page.getByRole('region', { name: 'Pads' }).getByText('1209:0003').first().waitFor()
    await goTo(page, 'Port')
    await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
    await visitor.leave()
  })
})
