import { beforeEach, describe, expect, test } from 'vitest'
import { connect } from '../../../src/adapter/session.ts'
import type { Trouble } from '../../../src/adapter/troubles.ts'
import { webSerial } from '../../../src/adapter/transports/web-serial.ts'
import { FakeClock } from '../fake-clock.ts'
import { FakeSerial } from './fake-serial.ts'

const IMAGE = Uint8Array.from({ length: 400 }, (_, k) => k & 0xff)

let serial: FakeSerial
let clock: FakeClock

beforeEach(() => {
  serial = new FakeSerial()
  clock = new FakeClock()
})

const linked = (system: 'linux' | 'other' = 'other') => clock.until(connect(webSerial(serial, system), clock))
const adapter = async () => {
  const met = await linked()
  if (!met.ok) throw new Error(met.error.kind)
  return met.value
}
/** After any trouble: the port is closed, and the very same transport connects without a reload. */
const expectWorksAgain = async () => {
  expect(serial.port.isOpen).toBe(false)
  const met = await adapter()
  expect(await clock.until(met.status())).toMatchObject({ ok: true })
  await clock.until(met.close())
  expect(serial.port.isOpen).toBe(false)
}

test('flashes through streams and gives the port back', async () => {
  const met = await adapter()
  expect(serial.port.signals).toEqual({ dataTerminalReady: true, requestToSend: true })
  expect(await clock.until(met.flash(2, IMAGE))).toMatchObject({ ok: true, value: { comparedBytes: 400 } })
  await clock.until(met.close())
  await expectWorksAgain()
})

describe('when it cannot be opened', () => {
  /** DOMException names: WICG Web Serial API, requestPort() and open(). */
  const choosing: readonly [string, Trouble['kind']][] = [
    ['NotFoundError', 'nothing-chosen'],
    ['SecurityError', 'refused-by-page'],
    ['NotSupportedError', 'open-failed'],
  ]
  test.each(choosing)('%s of the list is %s', async (name, kind) => {
    serial.failing = name
    expect(await linked()).toMatchObject({ ok: false, error: { kind } })
    await expectWorksAgain()
  })

  const opening: readonly [string, 'linux' | 'other', Trouble['kind']][] = [
    ['NetworkError', 'other', 'held'],
    ['NetworkError', 'linux', 'held-or-no-permission'],
    ['InvalidStateError', 'other', 'held'],
    ['UnknownError', 'other', 'open-failed'],
  ]
  test.each(opening)('%s of the port on %s is %s', async (name, system, kind) => {
    serial.port.failing.set('open', name)
    expect(await linked(system)).toMatchObject({ ok: false, error: { kind } })
    await expectWorksAgain()
  })

  const signalling: readonly [string, Trouble['kind']][] = [
    ['NetworkError', 'unplugged-while-opening'],
    ['UnknownError', 'open-failed'],
  ]
  test.each(signalling)('%s once it is open is %s, and it is closed again', async (name, kind) => {
    serial.port.failing.set('setSignals', name)
    expect(await linked()).toMatchObject({ ok: false, error: { kind } })
    expect(serial.port.opens).toBe(1)
    await expectWorksAgain()
  })

  test('the same port twice is held', async () => {
    const met = await adapter()
    expect(await linked()).toEqual({ ok: false, error: { kind: 'held' } })
    // Whoever has it keeps it.
    expect(await clock.until(met.status())).toMatchObject({ ok: true })
  })
})

describe('when it is open', () => {
  test('silence closes it', async () => {
    serial.port.bench.toDevice = () => []
    serial.port.arrive = () => undefined
    expect(await linked()).toEqual({ ok: false, error: { kind: 'silent' } })
    Reflect.deleteProperty(serial.port, 'arrive')
    await expectWorksAgain()
  })

  test('something else closes it', async () => {
    serial.port.arrive = function (this: typeof serial.port) {
      Reflect.deleteProperty(this, 'arrive')
      this.arrive(new TextEncoder().encode('hello\r\n'))
      this.arrive = () => undefined
    }
    expect(await linked()).toEqual({ ok: false, error: { kind: 'not-ninepin' } })
    Reflect.deleteProperty(serial.port, 'arrive')
    await expectWorksAgain()
  })

  test('unplugging in the middle of a flash closes it', async () => {
    const met = await adapter()
    const flash = met.flash(2, IMAGE, ({ doneBytes }) => {
      if (doneBytes === 256) serial.port.unplug()
    })
    expect(await clock.until(flash)).toEqual({ ok: false, error: { kind: 'unplugged' } })
    expect(await met.ended).toEqual({ kind: 'unplugged' })
    await expectWorksAgain()
  })

  test.each(['FramingError', 'BreakError', 'ParityError', 'BufferOverrunError'])(
    'a %s costs one answer and no more',
    async (name) => {
      const met = await adapter()
      serial.port.stumble(name)
      expect(await clock.until(met.status())).toMatchObject({ ok: true })
      await clock.until(met.close())
      await expectWorksAgain()
    },
  )

  test('a loss that nobody was listening to is told on listening', async () => {
    const opened = await webSerial(serial, 'other').open()
    if (!opened.ok) throw new Error(opened.error.kind)
    serial.port.unplug()
    let lost = 0
    opened.value.listen({ bytes: () => undefined, lost: () => void lost++ })
    expect(lost).toBe(1)
    await opened.value.close()
    await opened.value.close()
    await expectWorksAgain()
  })
})
