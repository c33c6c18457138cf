import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readProfile, writeProfile } from '../../src/profile/file.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, goTo, plugInPad } from './browser.ts'
import { leavesAxeContent, overflow } from './looks.ts'

/** Nothing in it but its mapping: what is seen of sticks, chords and layers is of the test's making. */
const PLAIN = writeProfile({ ...BUILT_IN_PROFILES['six-button'], name: 'Plain', powerOn: [] })

/** On the Profile, with a plain profile open. */
async function onProfile(visitor: Visitor): Promise<Page> {
  const page = await visitor.open(app.address)
  await goTo(page, 'Profile')
  await page.getByRole('navigation', { name: 'Stations' }).getByText('demo, bank').waitFor()
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: 'Open a file' }).click(),
  ])
  await chooser.setFiles([{ name: 'plain.json', mimeType: 'application/json', buffer: Buffer.from(PLAIN) }])
  await page.getByRole('button', { name: 'Export Plain' }).waitFor()
  return page
}

const stick = (page: Page, side: 'Left' | 'Right') =>
  page.getByRole('region', { name: `${side} stick`, exact: true })
const map = (page: Page, side: 'Left' | 'Right') =>
  stick(page, side)
    .getByRole('img', { name: /^Map of the/ })
    .getAttribute('aria-label')

/** The open profile, as a file. */
async function exported(page: Page, name = 'Plain') {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: `Export ${name}` }).click(),
  ])
  const read = readProfile(readFileSync(await download.path()))
  if (!read.ok) throw new Error(read.error.message)
  return read.value
}

describeWith('sticks, chords, layers and auto-repeat on the Profile', [CHROMIUM], () => {
  app.comesAndGoes()

  it('sets a stick by keys; the map, its words and the table follow, and undo takes it back', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await onProfile(visitor)
    const left = stick(page, 'Left')
    expect(await map(page, 'Left')).toContain(
      'circle, presses from 44.9 % of its travel, releases below 35.9 %',
    )
    await left.getByText('Steady up to movement of 8.9 %').waitFor()

    await left.getByRole('slider', { name: 'Left stick, Press threshold, slider' }).focus()
    await page.keyboard.press('ArrowRight')
    await expect
      .poll(() => map(page, 'Left'))
      .toContain('presses from 45.8 % of its travel, releases below 36.8 %')
    // The map follows a slider before the next frame is drawn.
    const drawn = await left.evaluate((panel) => {
      const slider = panel.querySelector<HTMLInputElement>('input[type=range]')
      const map = () => panel.querySelector('svg[role=img]')?.getAttribute('aria-label')
      return new Promise<string | null | undefined>((resolve) => {
        requestAnimationFrame(() => resolve(map()))
        if (slider) slider.value = '70'
        slider?.dispatchEvent(new Event('input', { bubbles: true }))
      })
    })
    expect(drawn).toContain('presses from 62.9 %')
    await page.keyboard.press('Home')
    // The hysteresis is 10 %: the slider stops one above it, as does its number.
    await expect.poll(() => map(page, 'Left')).toContain('presses from 9.8 %')
    const inner = left.getByRole('spinbutton', { name: 'Left stick, Press threshold' })
    expect(await inner.inputValue()).toBe('11')
    await inner.fill('8')
    await left.getByText('the hysteresis must be below the press threshold').waitFor()
    await inner.fill('60')
    await expect.poll(() => map(page, 'Left')).toContain('presses from 53.9 %')

    await left.getByRole('spinbutton', { name: 'Left stick, Diagonal share' }).fill('0')
    await expect.poll(() => map(page, 'Left')).toContain('Four directions of 90.0° each')
    expect(await left.getByRole('row').count()).toBe(1 + 4)
    await left.getByRole('radio', { name: 'octagon' }).check()
    await expect.poll(() => map(page, 'Left')).toContain('Map of the left stick: octagon')
    expect(await map(page, 'Right')).toContain('circle, presses from 44.9 %')
    expect((await exported(page)).sticks.left).toEqual({
      gate: 'octagon',
      innerPercent: 60,
      outerPercent: 90,
      diagonalPercent: 0,
      hysteresisPercent: 10,
    })

    await page.getByRole('main').focus()
    await page.keyboard.press('Control+z')
    await expect.poll(() => map(page, 'Left')).toContain('Map of the left stick: circle')
    await page.keyboard.press('Control+z')
    await expect.poll(() => map(page, 'Left')).toContain('Eight directions')
    await left.getByRole('button', { name: 'Left stick: reset to defaults' }).click()
    await expect.poll(() => map(page, 'Left')).toContain('presses from 44.9 %')
    await visitor.leave()
  })

  it('asks of a place what it holds, by keys and by the pointer, without a pad', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await onProfile(visitor)
    const probe = stick(page, 'Right').getByRole('slider', { name: /^Probe of the right stick/ })
    const says = () => probe.getAttribute('aria-valuetext')
    await probe.focus()
    expect(await says()).toBe('in the middle: holds nothing')
    for (let k = 0; k < 7; k++) await page.keyboard.press('Shift+ArrowUp')
    await expect.poll(says).toBe('70.0 % out at 90.0°: holds Up')
    for (let k = 0; k < 5; k++) await page.keyboard.press('Shift+ArrowRight')
    await expect.poll(says).toContain('holds Up and Right')
    // The arrows are the probe's, not the keyboard pad's.
    expect(await page.locator('.row .input.held').count()).toBe(0)
    await page.keyboard.press('Home')
    await expect.poll(says).toBe('in the middle: holds nothing')

    const plane = stick(page, 'Right').getByRole('img', { name: /^Map of the right stick/ })
    const box = await plane.boundingBox()
    if (!box) throw new Error('the map is not drawn')
    await plane.click({ position: { x: box.width * 0.15, y: box.height * 0.5 } })
    await expect.poll(says).toMatch(/holds Left$/)
    await page.mouse.move(box.x + box.width * 0.15, box.y + box.height * 0.5)
    await page.mouse.down()
    await page.mouse.move(box.x + box.width * 0.5, box.y + box.height * 0.9, { steps: 8 })
    await page.mouse.up()
    await expect.poll(says).toMatch(/holds Down$/)
    await visitor.leave()
  })

  it('shows the stick of a pad where it is, in the region that it holds', async () => {
    // No device can be plugged in here: the pad is made of what the Gamepad API would say.
    const visitor = await Visitor.arrive(app.browser)
    const page = await onProfile(visitor)
    const press = await plugInPad(page)
    const left = stick(page, 'Left')
    /** The browser's own geometry (SVG 2, isPointInFill) says what is filled under the mark. */
    const filledUnderMark = () =>
      left.getByRole('img', { name: /^Map of the/ }).evaluate((svg) => {
        const mark = svg.querySelector<SVGCircleElement>('.live')
        const point = { x: mark?.cx.baseVal.value ?? 0, y: mark?.cy.baseVal.value ?? 0 }
        const regions = [...svg.querySelectorAll<SVGPathElement>('.region')]
        return regions.filter((path) => path.classList.contains('held') && path.isPointInFill(point)).length
      })
    await press([], [0.7, -0.7, 0, 0])
    await left.getByText('out at 45.0°: holds Up and Right').waitFor()
    expect(await filledUnderMark()).toBe(1)
    expect(await left.getByRole('row', { name: /^Up Right/ }).getAttribute('class')).toContain('held')
    await press([])
    await left.locator('dd').first().getByText('in the middle: holds nothing').waitFor()
    await press([], [0, 0.38, 0, 0])
    await left.getByText('out at 270.0°: holds nothing').waitFor()
    expect(await filledUnderMark()).toBe(0)
    // What the profile says decides at once, on the map and on the port.
    expect(await page.locator('.row .input.held').count()).toBe(0)
    await left.getByRole('spinbutton', { name: 'Left stick, Press threshold' }).fill('20')
    await left.getByText('out at 270.0°: holds Down').waitFor()
    expect(await filledUnderMark()).toBe(1)
    await expect.poll(() => page.locator('.row .input.held').allInnerTexts()).toEqual(['Down'])
    await visitor.leave()
  })

  it('makes a chord from the drawn keys, a toggled layer and a repeat in milliseconds, and takes them back', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await onProfile(visitor)
    await page.getByRole('button', { name: 'Add a chord' }).click()
    await page
      .getByText('B (Face south) and C (Face east), each alone, are delayed by up to 30 ms.')
      .waitFor()
    const chord = page.getByRole('group', { name: 'Controls for chord 1' })
    await chord.getByRole('button', { name: 'from the pad, for chord 1' }).click()
    await page.keyboard.press('KeyZ')
    await chord.getByText('Face west').waitFor()
    await chord.getByRole('button', { name: 'Remove Face south from chord 1' }).click()
    await page.getByLabel('Chord 1: within').fill('251')
    await page.getByText('a whole number from 0 to 250 ms').waitFor()
    await page.getByLabel('Chord 1: within').fill('45')
    await page.getByText('C (Face east) and A (Face west), each alone, are delayed by up to 45 ms.').waitFor()
    await page.getByLabel('Add an input to chord 1').selectOption('Mode')
    await page.getByRole('button', { name: 'Remove Start from chord 1' }).click()
    await chord.getByRole('button', { name: 'Remove Face west from chord 1' }).click()
    await chord.getByText('a chord needs at least two controls').waitFor()

    await page.getByRole('button', { name: 'Add a layer' }).click()
    await page.getByLabel('Layer 1: how it is turned on').selectOption('turned on and off by:')
    await page.getByLabel('Override an input in layer 1').selectOption('X')

    await page.getByRole('checkbox', { name: 'Auto-repeat of A' }).check()
    await page.getByLabel('A: what the repeat counts').selectOption('ms')
    await page.getByText('29.4 Hz, on 50 % of the time').waitFor()
    await page
      .getByText('Shorter than a frame of 625 lines: a title that samples once a frame can miss presses.')
      .waitFor()
    await page.getByLabel('A: ms pressed').fill('30')
    await page.getByLabel('A: ms released').fill('70')
    await page.getByText('10.0 Hz, on 30 % of the time').waitFor()

    const made = await exported(page)
    expect(made.chords).toEqual([{ held: ['face-east', 'face-west'], withinMs: 45, inputs: ['mode'] }])
    expect(made.layers).toEqual([{ kind: 'toggled', by: ['trigger-left'], mapping: { x: [] } }])
    expect(made.repeat).toEqual({ a: { kind: 'time', pressedMs: 30, releasedMs: 70 } })

    await page.getByRole('button', { name: 'Remove chord 1' }).click()
    await expect.poll(() => page.getByRole('group', { name: 'Controls for chord 1' }).count()).toBe(0)
    await page.getByRole('main').focus()
    await page.keyboard.press('Control+z')
    await chord.getByText('Face west').waitFor()
    await visitor.leave()
  })

  it('tells of conflicts at their place and on top with each edit, leads there, and they go as they came', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await onProfile(visitor)
    const top = page.getByRole('group', { name: 'Conflicts' })
    const count = () => top.getByRole('status').innerText()
    const before = await count()
    expect(before).not.toContain('fault')

    await page.getByLabel('Add a control to Down').selectOption('D-pad up')
    await expect.poll(count).toContain('1 fault')
    const fault = 'D-pad up presses Up and Down at once: remove one of them.'
    const row = page.locator('#input-down')
    expect(await row.getByText(fault).count()).toBe(1)
    expect(await page.locator('#input-up').getByText(fault).count()).toBe(1)
    await top.getByRole('button', { name: fault }).focus()
    await page.keyboard.press('Enter')
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('input-up')
    await page.keyboard.press('Tab')
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe(
      'Remove D-pad up from Up',
    )
    await page.keyboard.press('Control+z')
    await expect.poll(count).toBe(before)
    expect(await page.getByText(fault).count()).toBe(0)

    await page.getByRole('button', { name: 'Add a chord' }).click()
    await page.locator('#input-b').getByText('Face south is delayed by up to 30 ms').waitFor()
    await page.getByRole('button', { name: 'Add a chord' }).click()
    for (const control of ['Face south', 'Face east'])
      await page.getByLabel('Add a control to chord 2').selectOption(control)
    for (const control of ['Face west', 'Face north'])
      await page.getByRole('button', { name: `Remove ${control} from chord 2` }).click()
    await page
      .locator('#chord-2')
      .getByText('Chord 2 never comes on: chord 1 has the same controls')
      .waitFor()
    await page.getByRole('button', { name: 'Remove chord 1' }).click()
    await expect.poll(count).not.toContain('fault')

    // An edit is judged before the next frame is drawn.
    const judged = await page.evaluate(() => {
      const select = document.querySelector<HTMLSelectElement>('[aria-label="Add a control to Left"]')
      const status = () => document.querySelector('[aria-label="Conflicts"] [role=status]')?.textContent
      return new Promise<(string | null | undefined)[]>((resolve) => {
        const first = status()
        requestAnimationFrame(() => resolve([first, status()]))
        if (select) select.value = 'dpad-right'
        select?.dispatchEvent(new Event('change', { bubbles: true }))
      })
    })
    expect(judged[0]).not.toContain('fault')
    expect(judged[1]).toContain('1 fault')
    await visitor.leave()
  })

  it.each([
    ['light', undefined],
    ['dark', PHONE],
  ] as const)('leaves nothing serious to axe, %s, and fits its paper', async (colorScheme, phone) => {
    const visitor = await Visitor.arrive(app.browser, { colorScheme, ...(phone ? { viewport: phone } : {}) })
    const page = await onProfile(visitor)
    await page.getByRole('button', { name: 'Add a chord' }).click()
    await page.getByRole('button', { name: 'Add a layer' }).click()
    await page.getByRole('checkbox', { name: 'Auto-repeat of A' }).check()
    await page.getByLabel('A: what the repeat counts').selectOption('ms')
    await page.getByLabel('Add a control to Down').selectOption('D-pad up')
    await page.getByText('likely intended').click()
    await leavesAxeContent(page, colorScheme)
    expect(await overflow(page)).toBe(0)
    await visitor.leave()
  })
})
