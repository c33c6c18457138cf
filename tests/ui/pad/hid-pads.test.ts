import { describe, expect, it } from 'vitest'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import { HidPads } from '../../../src/ui/pad/hid-pads.ts'
import type { HidPad } from '../../../src/ui/pad/hid-pads.ts'
import type { PadNow } from '../../../src/ui/pad/pad-now.ts'
import { FakeHid, FakeHidDevice } from '../learn/fake-hid.ts'

const bit = (at: number) => ({ report: 0, bit: at, bits: 1, signed: false })

const layoutFor = (productId: number, name = 'Loan pad'): Layout => ({
  format: 'ninepin-layout',
  version: 1,
  name,
  notes: '',
  pad: { via: 'hid', vendorId: 0x1209, productId, descriptorCrc32: null },
  extractors: [
    { kind: 'threshold', control: 'face-south', field: bit(8), press: 1, release: 0 },
    {
      kind: 'axis',
      stick: 'left',
      axis: 'x',
      field: { report: 0, bit: 24, bits: 8, signed: false },
      low: 0,
      centre: 128,
      high: 255,
    },
  ],
})

function bench(devices: readonly FakeHidDevice[]) {
  const hid = new FakeHid()
  hid.granted = [...devices]
  const seen = { pads: [] as readonly HidPad[], says: new Map<string, PadNow>() }
  const pads = new HidPads(
    hid,
    { left: USUAL_STICK, right: USUAL_STICK },
    {
      padsAre: (now) => (seen.pads = now),
      says: (key, now) => void seen.says.set(key, now),
    },
  )
  const held = () => seen.says.get(seen.pads[0]?.key ?? '')?.held ?? 0
  return { hid, pads, seen, held }
}

describe('pads that are read by their reports', () => {
  it('are opened when they are granted and have a layout, and only then', async () => {
    const [one, other] = [new FakeHidDevice(), new FakeHidDevice({ productId: 2 })]
    const { pads, seen, held } = bench([one, other])
    await pads.setLayouts([layoutFor(1)])
    expect([one.opened, other.opened]).toEqual([true, false])
    expect(seen.pads.map(({ name, productId }) => [name, productId])).toEqual([['Loan pad', 1]])
    one.send({ 1: 1 })
    expect(held()).toBe(controlMask(['face-south']))
    one.send({ 3: 255 })
    expect(held()).toBe(controlMask(['stick-left-right']))
    expect([...seen.says.values()][0]?.sticks.left.x).toBe(32767)
    one.send()
    expect(held()).toBe(0)
  })

  it('follow a change of the layouts, and close what is not wanted any more', async () => {
    const device = new FakeHidDevice()
    const { pads, seen } = bench([device])
    await pads.setLayouts([layoutFor(1)])
    await pads.setLayouts([layoutFor(1, 'older'), layoutFor(1, 'newer')])
    expect(seen.pads.map(({ name }) => name)).toEqual(['newer'])
    expect(device.opened).toBe(true)
    await pads.setLayouts([])
    expect([device.opened, device.listened, seen.pads.length]).toEqual([false, false, 0])
  })

  it('go and come back', async () => {
    const device = new FakeHidDevice()
    const { hid, pads, seen, held } = bench([device])
    await pads.setLayouts([layoutFor(1)])
    hid.unplug(device)
    await pads.look()
    expect(seen.pads).toEqual([])
    const again = new FakeHidDevice()
    hid.plug(again)
    await pads.look()
    again.send({ 1: 1 })
    expect(held()).toBe(controlMask(['face-south']))
  })

  it('take new stick settings at once, with the stick where it is', async () => {
    const device = new FakeHidDevice()
    const { pads, held } = bench([device])
    await pads.setLayouts([layoutFor(1)])
    device.send({ 3: 255 })
    const wide = { ...USUAL_STICK, innerPercent: 95, outerPercent: 100 }
    device.send({ 3: 200 })
    expect(held()).toBe(controlMask(['stick-left-right']))
    pads.setSticks({ left: wide, right: wide })
    expect(held()).toBe(0)
  })

  it('leave the keyboard beside a pad alone: it has the same numbers', async () => {
    const pad = new FakeHidDevice()
    const keyboard = new FakeHidDevice({ collections: [{ usagePage: 0x01, usage: 0x06, inputReports: [] }] })
    const { pads, seen } = bench([keyboard, pad])
    await pads.setLayouts([layoutFor(1)])
    expect([pad.opened, keyboard.opened, seen.pads.length]).toEqual([true, false, 1])
  })

  it('are left to the browser where the system refuses them, and are tried again', async () => {
    const device = new FakeHidDevice()
    device.refuses = new DOMException('', 'NotAllowedError')
    const { pads, seen } = bench([device])
    await pads.setLayouts([layoutFor(1)])
    expect(seen.pads).toEqual([])
    device.refuses = null
    await pads.look()
    expect(seen.pads.length).toBe(1)
  })

  it('end with everything closed', async () => {
    const device = new FakeHidDevice()
    const { hid, pads } = bench([device])
    await pads.setLayouts([layoutFor(1)])
    await pads.close()
    expect([device.opened, device.listened, hid.listened]).toEqual([false, false, 0])
  })
})
