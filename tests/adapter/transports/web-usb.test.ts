import { beforeEach, describe, expect, test } from 'vitest'
import { connect } from '../../../src/adapter/session.ts'
import type { Trouble } from '../../../src/adapter/troubles.ts'
import { webUsb } from '../../../src/adapter/transports/web-usb.ts'
import { FakeClock } from '../fake-clock.ts'
import { FakeUsb, PAD_ONLY } from './fake-usb.ts'

const IMAGE = Uint8Array.from({ length: 400 }, (_, k) => k & 0xff)

let usb: FakeUsb
let clock: FakeClock

beforeEach(() => {
  usb = new FakeUsb()
  clock = new FakeClock()
})

const linked = () => clock.until(connect(webUsb(usb), clock))
const adapter = async () => {
  const met = await linked()
  if (!met.ok) throw new Error(met.error.kind)
  return met.value
}
const expectClosed = () => {
  expect(usb.device.opened).toBe(false)
  expect(usb.listening).toBe(0)
}
/** After any trouble: the device is closed, and the very same transport connects without a reload. */
const expectWorksAgain = async () => {
  expectClosed()
  const met = await adapter()
  expect(await clock.until(met.status())).toMatchObject({ ok: true })
  await clock.until(met.close())
  expectClosed()
}

test('finds the serial port among the interfaces, flashes, and gives the device back', async () => {
  const met = await adapter()
  expect([...usb.device.claimed]).toEqual([1, 2])
  // Source: USB CDC PSTN subclass 1.2 §6.3.10 and §6.3.12: SET_LINE_CODING 0x20, SET_CONTROL_LINE_STATE 0x22.
  expect(usb.device.controls).toEqual([
    {
      setup: { requestType: 'class', recipient: 'interface', request: 0x20, value: 0, index: 1 },
      data: [0x00, 0xc2, 0x01, 0x00, 0, 0, 8],
    },
    { setup: { requestType: 'class', recipient: 'interface', request: 0x22, value: 3, index: 1 }, data: [] },
  ])
  expect(await clock.until(met.flash(2, IMAGE))).toMatchObject({ ok: true, value: { comparedBytes: 400 } })
  await clock.until(met.close())
  expect(usb.device.controls.at(-1)?.setup).toMatchObject({ request: 0x22, value: 0 })
  await expectWorksAgain()
})

test('asks for serial ports only', async () => {
  await adapter()
  expect(usb.filters).toEqual([{ classCode: 0x02 }, { classCode: 0x0a }])
})

describe('when it cannot be opened', () => {
  /** DOMException names: WICG WebUSB API, requestDevice(), open() and claimInterface(). */
  const choosing: readonly [string, Trouble['kind']][] = [
    ['NotFoundError', 'nothing-chosen'],
    ['SecurityError', 'refused-by-page'],
    ['UnknownError', 'open-failed'],
  ]
  test.each(choosing)('%s of the list is %s', async (name, kind) => {
    usb.failing = name
    expect(await linked()).toMatchObject({ ok: false, error: { kind } })
    await expectWorksAgain()
  })

  const calls: readonly [
    'open' | 'selectConfiguration' | 'claimInterface' | 'controlTransferOut',
    string,
    Trouble['kind'],
  ][] = [
    ['open', 'SecurityError', 'no-permission'],
    ['open', 'NetworkError', 'held'],
    ['open', 'NotFoundError', 'unplugged-while-opening'],
    ['open', 'UnknownError', 'open-failed'],
    ['selectConfiguration', 'NetworkError', 'held'],
    ['claimInterface', 'NetworkError', 'held'],
    ['claimInterface', 'SecurityError', 'held'],
    ['claimInterface', 'NotFoundError', 'unplugged-while-opening'],
    ['controlTransferOut', 'NetworkError', 'held'],
    ['controlTransferOut', 'UnknownError', 'open-failed'],
  ]
  test.each(calls)('%s with %s is %s', async (call, name, kind) => {
    usb.device.failing.set(call, name)
    expect(await linked()).toMatchObject({ ok: false, error: { kind } })
    await expectWorksAgain()
  })

  test('a device without a serial interface is left alone', async () => {
    usb = new FakeUsb(PAD_ONLY)
    expect(await linked()).toEqual({ ok: false, error: { kind: 'no-serial-interface' } })
    expectClosed()
    expect(usb.device.controls).toEqual([])
  })
})

describe('when it is open', () => {
  test('silence closes it', async () => {
    usb.device.arrive = () => undefined
    expect(await linked()).toEqual({ ok: false, error: { kind: 'silent' } })
    Reflect.deleteProperty(usb.device, 'arrive')
    await expectWorksAgain()
  })

  test('unplugging in the middle of a flash ends it', async () => {
    const met = await adapter()
    const flash = met.flash(2, IMAGE, ({ doneBytes }) => {
      if (doneBytes === 256) usb.unplug()
    })
    expect(await clock.until(flash)).toEqual({ ok: false, error: { kind: 'unplugged' } })
    expect(usb.listening).toBe(0)
    usb.device.plugIn()
    await expectWorksAgain()
  })

  test('unplugging another device changes nothing', async () => {
    const met = await adapter()
    usb.unplug({})
    expect(await clock.until(met.status())).toMatchObject({ ok: true })
  })

  test.each(['in 4', 'out 3'])(
    'a stalled endpoint (%s) is cleared and the request sent again',
    async (endpoint) => {
      const met = await adapter()
      usb.device.halted.add(endpoint)
      expect(await clock.until(met.status())).toMatchObject({ ok: true })
      expect(await clock.until(met.status())).toMatchObject({ ok: true })
      expect(usb.device.halted.size).toBe(0)
    },
  )
})
