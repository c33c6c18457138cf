import { readFileSync } from 'node:fs'
import { beforeAll, expect, it } from 'vitest'
import { ModelAdapter } from '../reference/adapter/model-adapter.ts'
import { readDescriptorFile } from '../../src/pad/descriptor/read-file.ts'
import { writeLayout } from '../../src/pad/layout/file.ts'
import { LAYOUT_FORMAT, LAYOUT_VERSION } from '../../src/pad/layout/schema.ts'
import type { Extractor, Layout } from '../../src/pad/layout/schema.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { layoutsOfImage } from '../../src/profile/decode-image.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { writeProfile } from '../../src/profile/file.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, PHONE, Visitor, goTo } from './browser.ts'
import { fakeHid, fakePad } from './fake-hid.ts'
import { fakeSerial } from './fake-serial.ts'
import { leavesAxeContent, overflow, shot } from './looks.ts'

const six = BUILT_IN_PROFILES['six-button']

/** A report descriptor as a real pad has it; its source stands beside it. */
const descriptor = (() => {
  const read = readDescriptorFile(
    new Uint8Array(readFileSync(new URL('../pad/descriptor/real/06-pad.hex', import.meta.url))),
  )
  if (!read.ok) throw new Error(read.error.message)
  return read.value
})()

function box(serialNumber: string, minor = 1): ModelAdapter {
  return new ModelAdapter({
    factoryImage: encodeImage(six),
    identity: { board: 'Museum box', serialNumber, protocol: { major: 1, minor } },
  })
}

/** The layout of the pad that `fake-hid.ts` has, as far as this test plays it. */
const button = (control: 'face-south' | 'face-east' | 'shoulder-left', bit: number): Extractor => ({
  kind: 'threshold',
  control,
  field: { report: 3, bit, bits: 1, signed: false },
  press: 1,
  release: 0,
})
const LAYOUT: Layout = {
  format: LAYOUT_FORMAT,
  version: LAYOUT_VERSION,
  name: 'Pad of the test',
  notes: '',
  pad: { via: 'hid', vendorId: 0x1209, productId: 2, descriptorCrc32: null },
  extractors: [
    {
      kind: 'hat',
      cross: 'dpad',
      field: { report: 3, bit: 0, bits: 4, signed: false },
      first: 0,
      step: 1,
      positions: 8,
    },
    button('face-south', 8),
    button('face-east', 9),
    button('shoulder-left', 10),
  ],
}

describeWith('the adapter’s memory and the live view in a browser', [CHROMIUM], () => {
  app.comesAndGoes()
  beforeAll(async () => {}, 600_000)

  it('two adapters on one console keep to their own names, pads and memories', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const [left, right, old] = [box('LEFT-01'), box('RIGHT-02'), box('OLD-03', 0)]
    const met = {
      via: 'hid',
      outcome: 'no layout',
      vendorId: 0x1209,
      productId: 9,
      release: 0x0213,
      descriptorCrc32: 0x1234,
    } as const
    left.padMemory.pad(met, descriptor, 0)
    left.padMemory.report(Uint8Array.of(1, 2, 0xa1), 250)
    for (const atMs of [300, 317, 334]) left.padMemory.read(4, atMs)
    const serial = await fakeSerial(visitor.context, { left, right, old })
    const page = await visitor.open(`${app.address}#adapter`)
    const main = page.getByRole('main')
    const sheet = (name: string | RegExp) => main.getByRole('region', { name })
    const cable = page.getByRole('navigation', { name: 'Stations' })
    const connect = async (name: string, serialNumber: string) => {
      await serial.choose(page, name)
      await page.getByRole('button', { name: 'Connect adapter' }).first().click()
      await sheet('Adapter').getByText(serialNumber, { exact: true }).waitFor()
      await cable.getByText(/bank 1 (equal|differs)$/).waitFor()
    }
    const disconnect = async () => {
      await sheet('Adapter').getByRole('button', { name: 'Disconnect' }).click()
      await cable.getByText('not connected').waitFor()
    }
    const flash = async () => {
      await sheet(/^Flash bank 1/)
        .getByRole('button', { name: /^Flash bank 1/ })
        .click()
      await sheet(/^Flash bank 1/)
        .getByText('Verified: every byte matches.')
        .waitFor()
    }
    const padsIn = (adapter: ModelAdapter) => {
      const image = adapter.store.read(0)
      return image ? layoutsOfImage(image).map(({ name }) => name) : []
    }

    // The demo adapter is there first; what is mine takes its place.
    await cable.getByText(/demo, bank/).waitFor()
    await connect('left', 'LEFT-01')
    await sheet('Pad history').getByText('1209:0009').waitFor()
    await sheet('Pad history').getByText('No layout for it was in the active bank.').waitFor()
    const seen = await sheet('Last activity').innerText()
    expect(seen).toMatch(/3 times. The last 3: 4 rising edges each, 17 ms apart./)
    expect(seen).toMatch(/a six-button title/)
    expect(seen).toMatch(/0.250 s\s+no layout\s+01 02 A1/)

    const [saved] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save its descriptor: pad 1209:0009' }).click(),
    ])
    const file = readDescriptorFile(new Uint8Array(readFileSync(await saved.path())))
    expect(file).toEqual({ ok: true, value: descriptor })

    await page.getByLabel('Name for this adapter').fill('left port')
    await cable.getByText(/left port, bank 1/).waitFor()
    expect(await sheet('Flash bank 1 of left port').innerText()).toMatch(
      /left port, Museum box, serial number LEFT-01[\s\S]*pads included\s+Saltmarsh loan pad\./,
    )
    await flash()
    expect(padsIn(left)).toEqual(['Saltmarsh loan pad'])
    await sheet('Banks').getByText('holds Saltmarsh loan pad').waitFor()
    await leavesAxeContent(page, 'adapter')
    await shot(page, 'adapter-met')
    await page.setViewportSize(PHONE)
    expect(await overflow(page)).toBeLessThanOrEqual(0)
    await shot(page, 'adapter-met-phone')
    await page.setViewportSize({ width: 1344, height: 896 })
    await page.getByLabel('Saltmarsh loan pad goes into the banks of this adapter').uncheck()
    await sheet(/^Flash bank 1/)
      .getByText('no pad: the adapter reads pads of the vendor class only')
      .waitFor()
    await disconnect()

    // The other one knows nothing of all this.
    await connect('right', 'RIGHT-02')
    expect(await page.getByLabel('Name for this adapter').inputValue()).toBe('')
    await sheet('Pad history').getByText('No pad yet.').waitFor()
    await flash()
    expect([padsIn(right), padsIn(left)]).toEqual([['Saltmarsh loan pad'], ['Saltmarsh loan pad']])
    await disconnect()

    // And the first has kept its own, over a reload.
    await page.reload()
    await connect('left', 'LEFT-01')
    await cable.getByText(/left port, bank 1 differs/).waitFor()
    await flash()
    expect([padsIn(left), padsIn(right)]).toEqual([[], ['Saltmarsh loan pad']])

    // What it met is learned from.
    await page.getByRole('button', { name: 'Learn from it: pad 1209:0009' }).click()
    await page.getByRole('heading', { name: 'Controls found' }).waitFor()
    expect(page.url()).toMatch(/#pad\/learn$/)
    await page
      .getByText('1209:0009')
      .or(page.locator('input[value="1209"]'))
      .first()
      .waitFor({ state: 'attached' })
    await goTo(page, 'Adapter')

    await page.getByRole('button', { name: 'Erase the history' }).click()
    await page.getByRole('dialog').getByRole('button', { name: 'Erase the history' }).click()
    await sheet('Pad history').getByText('No pad yet.').waitFor()
    expect(left.padMemory.history).toEqual([])
    await disconnect()

    await connect('old', 'OLD-03')
    await sheet('Pad history').getByText('This adapter’s firmware is older').waitFor()
    await visitor.leave()
  }, 300_000)

  it('reads the pads of a bank into the shelf once', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const adapter = new ModelAdapter({
      factoryImage: encodeImage({ ...six, name: 'From the box' }, [LAYOUT]),
      identity: { board: 'Museum box', serialNumber: 'LEFT-01' },
    })
    await fakeSerial(visitor.context, { A: adapter })
    const page = await visitor.open(`${app.address}#adapter`)
    const cable = page.getByRole('navigation', { name: 'Stations' })
    await cable.getByText(/demo, bank/).waitFor()
    await page.getByRole('button', { name: 'Connect adapter' }).first().click()
    const read = page.getByRole('button', { name: 'Copy to the shelf: bank 1' })
    await page.getByRole('main').getByText('holds Pad of the test').waitFor()
    await read.click()
    await page
      .getByText('Bank 1 is on the shelf and open: From the box. Pad of the test came with it.')
      .waitFor()
    await read.click()
    await page.getByText('Bank 1 is on the shelf and open: From the box.', { exact: true }).waitFor()
    const pads = page.getByRole('region', { name: 'Pads on this adapter' })
    expect(await pads.getByLabel('Pad of the test goes into the banks of this adapter').count()).toBe(1)
    await visitor.leave()
  }, 120_000)

  it('shows a press all the way from the pad’s report to what the title sees, with chord, layer and repeat', async () => {
    const visitor = await Visitor.arrive(app.browser)
    await visitor.context.addInitScript(fakeHid)
    await visitor.context.addInitScript(() => {
      // The empty page before the first has no storage.
      if (location.protocol !== 'about:') sessionStorage.setItem('fake-hid-granted', 'yes')
    })
    const page = await visitor.open(`${app.address}#pad`)
    const pad = fakePad(page)
    const profile = {
      ...six,
      name: 'Live',
      chords: [{ held: ['face-south', 'face-east'] as const, withinMs: 250, inputs: ['start'] as const }],
      layers: [
        { kind: 'toggled' as const, by: ['shoulder-left'] as const, mapping: { mode: ['dpad-up'] as const } },
      ],
      repeat: { up: { kind: 'time' as const, pressedMs: 200, releasedMs: 200 } },
    }
    const view = page.getByRole('region', { name: 'Live path' })
    await view.waitFor()
    const [chooser] = await Promise.all([
      page.waitForEvent('filechooser'),
      page.getByRole('button', { name: 'Open a layout file' }).click(),
    ])
    await chooser.setFiles([
      { name: 'pad.json', mimeType: 'application/json', buffer: Buffer.from(writeLayout(LAYOUT)) },
      { name: 'live.json', mimeType: 'application/json', buffer: Buffer.from(writeProfile(profile)) },
    ])
    const words = () => view.innerText()
    // The pad's own rate is 125 reports a second; a busy machine may get fewer through.
    await expect.poll(words).toMatch(/Pad of the test, [1-9]\d* reports per second/)
    expect(await words()).toMatch(/03: 08 00 00 [0-9A-F ]+/)
    expect(await words()).toMatch(/chords\s+none is on\s+layers\s+none is on\s+auto-repeat\s+none/)

    await pad.hold({ 1: 0b011 })
    await expect.poll(words).toMatch(/Face south and Face east for Start/)
    expect(await words()).toMatch(/pressed\s+Start/)
    await expect.poll(() => view.locator('.run.held text').allTextContents()).toContain('Start')
    await pad.hold({})
    await expect.poll(words).toMatch(/held\s+nothing/)

    // A control alone comes through once its time is over.
    await pad.hold({ 1: 0b001 })
    await expect.poll(words).toMatch(/pressed\s+B\b/)
    await pad.hold({ 1: 0b100 })
    await expect.poll(words).toMatch(/held\s+Left shoulder/)
    await pad.hold({})
    await expect.poll(words).toMatch(/held\s+nothing/)
    await expect.poll(words).toMatch(/layer 1 \(toggled by Left shoulder\)/)
    await pad.hold({ 0: 0 })
    await expect.poll(words).toMatch(/asked for\s+Up and Mode/)
    await expect.poll(words).toMatch(/Up every 400 ms \(released\)/)
    await expect.poll(words).toMatch(/Up every 400 ms \(pressed\)/)
    await pad.hold({})
    await expect.poll(words).toMatch(/Copper Kite Rally sees\s+Up and Down. The Port station shows where./)
    await leavesAxeContent(page, 'live view')
    await shot(page, 'live-view')
    await page.setViewportSize(PHONE)
    expect(await overflow(page)).toBeLessThanOrEqual(0)
    await visitor.leave()
  }, 120_000)
})
