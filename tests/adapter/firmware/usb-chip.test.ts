import { describe, expect, test } from 'vitest'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { chipClock, runUntilSettled } from '../../../src/adapter/emulator/run.ts'
import { chipTransport } from '../../../src/adapter/emulator/transport.ts'
import type { ControlRequest } from '../../../src/adapter/emulator/usb-host.ts'
import { encodeFrame, Splitter } from '../../../src/adapter/frame.ts'
import { encodeRequest } from '../../../src/adapter/messages.ts'
import { connect } from '../../../src/adapter/session.ts'
import type { Adapter } from '../../../src/adapter/session.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { flashWith } from './rig.ts'

/** The USB device of the firmware on the emulated chip, in front of a host that lets nothing pass. */

const MS = 1_000_000
const IMAGE = encodeImage(BUILT_IN_PROFILES['six-button'])

const powerOn = () => {
  const chip = new Chip({ flash: flashWith([IMAGE, null, null, null]) })
  chip.runFor(25 * MS)
  return chip
}

const plugIn = (chip: Chip) => {
  chip.usb.attach()
  chip.runUntil(() => ['configured', 'failed'].includes(chip.usb.state), 2_000 * MS)
  expect([chip.usb.state, chip.usb.faults]).toEqual(['configured', []])
}

const open = async (chip: Chip): Promise<Adapter> => {
  const adapter = await runUntilSettled(chip, connect(chipTransport(chip), chipClock(chip)))
  if (!adapter.ok) throw new Error(adapter.error.kind)
  return adapter.value
}

const control = (chip: Chip, request: ControlRequest): number[] | string => {
  const pending = chip.usb.control(request)
  chip.runUntil(() => pending.outcome !== null, 5_000 * MS)
  const { outcome } = pending
  return outcome?.kind === 'done' ? [...outcome.bytes] : (outcome?.kind ?? 'nothing')
}

const GET_DEVICE: ControlRequest = {
  bmRequestType: 0x80,
  bRequest: 6,
  wValue: 0x0100,
  wIndex: 0,
  wLength: 18,
}
const GET_CONFIGURATION: ControlRequest = { ...GET_DEVICE, wValue: 0x0200, wLength: 255 }
const NO_REQUEST: ControlRequest = { bmRequestType: 0x80, bRequest: 0x77, wValue: 0, wIndex: 0, wLength: 8 }

describe('the USB device on the chip', () => {
  test('hides while there is no VBUS, and shows itself when it comes', () => {
    const chip = powerOn()
    chip.runFor(50 * MS)
    expect(chip.mcu.usb.connected).toBe(false)
    chip.usb.attach()
    chip.runFor(5 * MS)
    expect(chip.mcu.usb.connected).toBe(true)
    chip.usb.detach()
    chip.runFor(5 * MS)
    expect(chip.mcu.usb.connected).toBe(false)
  })

  test('enumerates without a fault, and says who it is', () => {
    const chip = powerOn()
    plugIn(chip)
    const { device, configuration, strings } = chip.usb.enumerated ?? {}
    expect(device).toHaveLength(18)
    expect(configuration).toHaveLength(67)
    expect(strings?.slice(0, 2)).toEqual(['Ninepin', 'Ninepin adapter'])
    expect(strings?.[2]).toMatch(/^[0-9A-F]{16}$/)
    expect(chip.watchdogResets).toBe(0)
  })

  test('gives what takes two packets, less than asked for, and no more than asked for', () => {
    const chip = powerOn()
    plugIn(chip)
    const whole = control(chip, GET_CONFIGURATION)
    expect(whole).toHaveLength(67)
    // 64 of 67 bytes are one full packet, and nothing after it.
    for (const wLength of [1, 8, 63, 64, 65, 66, 67, 68])
      expect(control(chip, { ...GET_CONFIGURATION, wLength })).toEqual(whole.slice(0, wLength))
    // 32 bytes of a string; the serial number's has 34.
    expect(control(chip, { ...GET_DEVICE, wValue: 0x0302, wIndex: 0x0409, wLength: 255 })).toHaveLength(32)
    expect(chip.usb.faults).toEqual([])
  })

  test('refuses what it does not know by a stall, again and again, and works on', () => {
    const chip = powerOn()
    plugIn(chip)
    for (let k = 0; k < 5; k++) {
      expect(control(chip, NO_REQUEST)).toBe('stalled')
      expect(
        control(chip, { bmRequestType: 0, bRequest: 7, wValue: 0x0100, wIndex: 0, data: new Uint8Array(18) }),
      ).toBe('stalled')
      expect(control(chip, { bmRequestType: 0, bRequest: 9, wValue: 7, wIndex: 0 })).toBe('stalled')
      expect(control(chip, GET_DEVICE)).toHaveLength(18)
    }
    expect(chip.usb.faults).toEqual([])
  })

  test('keeps the line coding, and halts and frees its endpoints', async () => {
    const chip = powerOn()
    plugIn(chip)
    const coding = [0x80, 0x25, 0, 0, 2, 1, 7]
    const set = { bmRequestType: 0x21, bRequest: 0x20, wValue: 0, wIndex: 0, data: Uint8Array.from(coding) }
    expect(control(chip, set)).toEqual([])
    expect(control(chip, { bmRequestType: 0xa1, bRequest: 0x21, wValue: 0, wIndex: 0, wLength: 7 })).toEqual(
      coding,
    )
    for (const wIndex of [0x02, 0x82, 0x81]) {
      const feature = (bRequest: number) => ({ bmRequestType: 2, bRequest, wValue: 0, wIndex })
      const status = { bmRequestType: 0x82, bRequest: 0, wValue: 0, wIndex, wLength: 2 }
      expect(control(chip, feature(3))).toEqual([])
      expect(control(chip, status)).toEqual([1, 0])
      expect(control(chip, feature(1))).toEqual([])
      expect(control(chip, status)).toEqual([0, 0])
    }
    // Nothing has gone over them yet, so that both sides still begin with DATA0.
    const adapter = await open(chip)
    expect((await runUntilSettled(chip, adapter.status())).ok).toBe(true)
    expect(chip.usb.faults).toEqual([])
  })

  test('carries replies of every length about those of its packets', async () => {
    const chip = powerOn()
    plugIn(chip)
    const adapter = await open(chip)
    const splitter = new Splitter()
    const replies: Uint8Array[] = []
    chip.usb.onBytes = (bytes) => {
      for (const found of splitter.push(bytes)) if (found.ok) replies.push(found.value.payload)
    }
    for (let count = 1; count <= 128; count++) {
      const request = encodeRequest({ kind: 'read', bank: 0, offset: 0, count })
      chip.usb.send(encodeFrame({ ...request, sequence: count }))
      chip.runUntil(() => replies.length === count, 100 * MS)
      expect(replies.at(-1)?.subarray(3)).toEqual(IMAGE.subarray(0, count))
    }
    await adapter.close()
    const again = await open(chip)
    expect(await runUntilSettled(chip, again.readBank(1))).toEqual({ ok: true, value: IMAGE })
    expect(chip.usb.faults).toEqual([])
  })

  const heard = async (chip: Chip, adapter: Adapter) => {
    let events = 0
    const monitor = await runUntilSettled(
      chip,
      adapter.monitor(() => events++),
    )
    expect(monitor.ok).toBe(true)
    expect((await runUntilSettled(chip, adapter.setControls(1))).ok).toBe(true)
    chip.runFor(20 * MS)
    expect(events).toBeGreaterThan(0)
  }
  /** What a device that takes the link for closed does: nobody is told anything, and nobody holds anything. */
  const forgot = async (chip: Chip) => {
    const { packets } = chip.usb
    const before = packets.in
    for (let k = 0; k < 20; k++) {
      chip.setSelect(k & 1 ? 'high' : 'low')
      chip.runFor(10 * MS)
    }
    expect(packets.in - before).toBeLessThanOrEqual(1)
    const adapter = await open(chip)
    let controls = -1
    await runUntilSettled(
      chip,
      adapter.monitor((event) => (controls = event.controls)),
    )
    chip.runFor(20 * MS)
    expect(controls).toBe(0)
    return adapter
  }

  test('takes a falling DTR for a closed link', async () => {
    const chip = powerOn()
    plugIn(chip)
    const adapter = await open(chip)
    await heard(chip, adapter)
    await adapter.close()
    chip.runFor(5 * MS)
    await forgot(chip)
    expect(chip.usb.faults).toEqual([])
  })

  test('takes suspend for a closed link, and is there when the bus wakes', async () => {
    const chip = powerOn()
    plugIn(chip)
    const adapter = await open(chip)
    await heard(chip, adapter)
    chip.usb.suspend()
    chip.runFor(50 * MS)
    chip.usb.resume()
    chip.runFor(20 * MS)
    const status = await runUntilSettled(chip, adapter.status())
    expect(status).toMatchObject({ ok: false, error: { error: { name: 'identify first' } } })
    chip.runFor(5 * MS)
    await forgot(chip)
    expect(chip.usb.faults).toEqual([])
  })

  test('may be pulled out and plugged in again, ten times, in the middle of anything', async () => {
    const chip = powerOn()
    for (let k = 0; k < 10; k++) {
      plugIn(chip)
      const adapter = await open(chip)
      // An odd number of packets now and then: the next configuration begins with DATA0 all the same.
      for (let n = 0; n < k; n++) await runUntilSettled(chip, adapter.status())
      const reading = adapter.readBank(1)
      chip.runFor(k * 70_000)
      chip.usb.detach()
      await runUntilSettled(chip, reading)
      chip.runFor(30 * MS)
    }
    plugIn(chip)
    const adapter = await forgot(chip)
    expect(await runUntilSettled(chip, adapter.readBank(1))).toEqual({ ok: true, value: IMAGE })
    expect(chip.usb.faults).toEqual([])
    expect(chip.watchdogResets).toBe(0)
  })

  test('takes a flood of requests that nobody waits for, and loses none', () => {
    const chip = powerOn()
    plugIn(chip)
    chip.usb.openPort()
    const replies: number[] = []
    chip.usb.onBytes = (bytes) => replies.push(...bytes)
    const ask = (type: number, sequence: number, payload: readonly number[] = []) => [
      ...encodeFrame({ type, sequence, payload: Uint8Array.from(payload) }),
    ]
    const flood = Array.from({ length: 40 }, (_, k) => ask(0x02, k + 1))
    chip.usb.send(Uint8Array.from([ask(0x01, 0, [1, 0]), ...flood].flat()))
    chip.runFor(100 * MS)
    const found = new Splitter().push(Uint8Array.from(replies))
    expect(found.map((one) => one.ok && [one.value.type, one.value.sequence])).toEqual([
      [0x81, 0],
      ...flood.map((_, k) => [0x82, k + 1]),
    ])
    expect(chip.usb.faults).toEqual([])
  })
})
