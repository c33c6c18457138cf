import { beforeEach, describe, expect, test } from 'vitest'
import { ModelAdapter } from './model-adapter.ts'
import type { InputEvent } from '../../../src/adapter/replies.ts'
import { connect } from '../../../src/adapter/session.ts'
import type { Adapter } from '../../../src/adapter/session.ts'
import { modelTransport } from './model-transport.ts'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { cycleAt, pinsOf } from '../../../src/port/chart.ts'
import { SIX_BUTTON_CHART } from '../../../src/port/family.ts'
import { maskOf } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { FakeClock } from '../../adapter/fake-clock.ts'

const THREE = encodeImage(BUILT_IN_PROFILES['three-button'])
const SIX = encodeImage(BUILT_IN_PROFILES['six-button'])
const A = controlMask(['face-west'])
const UP = controlMask(['dpad-up'])

let model: ModelAdapter
let clock: FakeClock

beforeEach(() => {
  model = new ModelAdapter({ factoryImage: THREE })
  clock = new FakeClock()
})

const adapter = async (): Promise<Adapter> => {
  const met = await clock.until(connect(modelTransport(model), clock))
  if (!met.ok) throw new Error(met.error.kind)
  return met.value
}

test('comes with the factory image in bank 1, running', async () => {
  const met = await adapter()
  expect(met.identity).toMatchObject({ board: 'Demo adapter', largestImageBytes: 2048 })
  expect(await clock.until(met.readBank(1))).toEqual({ ok: true, value: THREE })
  model.hold(A | UP)
  expect(model.inputs).toBe(maskOf(['a', 'up']))
  expect(model.pinsAt(0, 'low')).toBe(0b100010)
})

test('runs what is flashed once its bank is active', async () => {
  const met = await adapter()
  model.hold(A)
  const third = () => model.pinsAt(2, 'low')
  expect(third()).toBe(pinsOf(cycleAt(BUILT_IN_PROFILES['three-button'].chart, 2).low, maskOf(['a'])))
  expect(await clock.until(met.flash(2, SIX))).toMatchObject({ ok: true, value: { before: null } })
  expect(third()).toBe(0b100011 & ~0b010000)
  expect(await clock.until(met.setActive(2))).toMatchObject({ ok: true })
  expect(third()).toBe(pinsOf(cycleAt(SIX_BUTTON_CHART, 2).low, maskOf(['a'])))
  expect(await clock.until(met.status())).toMatchObject({ value: { active: 2 } })
})

test('runs the new image at once when the active bank is flashed', async () => {
  const met = await adapter()
  expect(await clock.until(met.flash(1, SIX))).toMatchObject({ ok: true })
  expect(model.pinsAt(2, 'low')).toBe(pinsOf(cycleAt(SIX_BUTTON_CHART, 2).low, 0))
})

test('refuses what is not an image', async () => {
  const met = await adapter()
  expect(await clock.until(met.flash(1, SIX.with(20, 0xee)))).toMatchObject({
    ok: false,
    error: { kind: 'device-error', error: { name: 'not an image' } },
  })
  expect(await clock.until(met.readBank(1))).toEqual({ ok: true, value: THREE })
  expect(() => new ModelAdapter({ factoryImage: Uint8Array.of(1) })).toThrow(RangeError)
})

describe('a pad', () => {
  const LAYOUT: Layout = {
    format: 'ninepin-layout',
    version: 1,
    name: 'Lamp pad',
    notes: '',
    pad: { via: 'hid', vendorId: 0x1209, productId: 7, descriptorCrc32: null },
    extractors: [
      {
        kind: 'threshold',
        control: 'face-west',
        field: { report: 0, bit: 3, bits: 1, signed: false },
        press: 1,
        release: 1,
      },
      {
        kind: 'axis',
        stick: 'left',
        axis: 'y',
        field: { report: 0, bit: 8, bits: 8, signed: false },
        low: 0,
        centre: 128,
        high: 255,
      },
    ],
  }
  const PAD = { via: 'hid', vendorId: 0x1209, productId: 7, descriptorCrc32: 99 } as const

  test('is read by the layout of the active image', async () => {
    const met = await adapter()
    await clock.until(met.flash(2, encodeImage(BUILT_IN_PROFILES['three-button'], [LAYOUT])))
    model.plugPad(PAD)
    expect(model.padKnown).toBe(false)
    model.padReport(Uint8Array.of(8, 128))
    expect(model.inputs).toBe(0)
    await clock.until(met.setActive(2))
    expect(model.padKnown).toBe(true)
    model.padReport(Uint8Array.of(8, 0))
    expect(model.inputs).toBe(maskOf(['a', 'up']))
    model.padReport(Uint8Array.of(0, 250))
    expect(model.inputs).toBe(maskOf(['down']))
  })

  test('that goes, or that another bank reads, leaves nothing held', async () => {
    const met = await adapter()
    await clock.until(met.flash(1, encodeImage(BUILT_IN_PROFILES['three-button'], [LAYOUT])))
    model.plugPad(PAD)
    model.padReport(Uint8Array.of(8, 128))
    expect(model.inputs).toBe(maskOf(['a']))
    await clock.until(met.flash(1, encodeImage(BUILT_IN_PROFILES['six-button'], [LAYOUT])))
    expect(model.inputs).toBe(0)
    model.padReport(Uint8Array.of(8, 128))
    model.unplugPad()
    expect([model.padKnown, model.inputs]).toEqual([false, 0])
    model.padReport(Uint8Array.of(8, 128))
    expect(model.inputs).toBe(0)
  })

  test('of the vendor class needs no layout, as in the firmware', async () => {
    const met = await adapter()
    await clock.until(met.flash(1, encodeImage(BUILT_IN_PROFILES['three-button'])))
    model.plugPad({ ...PAD, via: 'vendor', descriptorCrc32: 0 })
    expect(model.padKnown).toBe(true)
    // The lowest of the four buttons is bit 4 of byte 3 (from memory), and presses B here.
    model.padReport(Uint8Array.from({ length: 20 }, (_, k) => [0, 20, 0, 0x10][k] ?? 0))
    expect(model.inputs).toBe(maskOf(['b']))
    model.unplugPad()
    expect(model.padKnown).toBe(false)
  })
})

describe('the link', () => {
  test('is held by one host at a time', async () => {
    const met = await adapter()
    expect(await modelTransport(model).open()).toEqual({ ok: false, error: { kind: 'held' } })
    await met.close()
    await adapter()
  })

  test('breaks when it is unplugged; the banks stay', async () => {
    const met = await adapter()
    await clock.until(met.flash(2, SIX))
    const flash = met.flash(2, THREE, ({ doneBytes }) => {
      if (doneBytes === 128) model.unplug()
    })
    expect(await clock.until(flash)).toEqual({ ok: false, error: { kind: 'unplugged' } })
    expect(await modelTransport(model).open()).toEqual({
      ok: false,
      error: { kind: 'unplugged-while-opening' },
    })
    model.plugIn()
    expect(await clock.until((await adapter()).readBank(2))).toEqual({ ok: true, value: SIX })
  })

  test('tells a listener that comes after the loss', async () => {
    const opened = await modelTransport(model).open()
    if (!opened.ok) throw new Error(opened.error.kind)
    model.unplug()
    let lost = 0
    opened.value.listen({ bytes: () => undefined, lost: () => void lost++ })
    expect(lost).toBe(1)
  })
})

test('the monitor tells what changed: pad, host and console', async () => {
  const met = await adapter()
  const heard: InputEvent[] = []
  const stop = await clock.until(met.monitor((event) => heard.push(event)))
  model.hold(UP)
  model.hold(UP)
  await clock.until(met.setControls(A))
  model.select(3, 'high')
  model.readEnded()
  await clock.until(met.status())
  expect(heard).toEqual([
    { controls: 0, inputs: 0, rises: 0, select: 'unknown' },
    { controls: UP, inputs: maskOf(['up']), rises: 0, select: 'unknown' },
    { controls: A | UP, inputs: maskOf(['a', 'up']), rises: 0, select: 'unknown' },
    { controls: A | UP, inputs: maskOf(['a', 'up']), rises: 3, select: 'high' },
    { controls: A | UP, inputs: maskOf(['a', 'up']), rises: 0, select: 'high' },
  ])
  if (!stop.ok) throw new Error(stop.error.kind)
  await clock.until(stop.value())
  model.hold(0)
  await clock.until(met.status())
  expect(heard).toHaveLength(5)
  await met.close()
  expect(model.inputs).toBe(0)
})
