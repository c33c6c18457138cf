import { describe, expect, it } from 'vitest'
import { Timeline } from '../../../src/adapter/emulator/timeline.ts'
import { ChipTrap } from '../../../src/adapter/emulator/trap.ts'
import { UsbController } from '../../../src/adapter/emulator/usb-controller.ts'
import { UsbHost } from '../../../src/adapter/emulator/usb-host.ts'

const MS = 1_000_000
const SIE_STATUS = 0x50
const BUFF_STATUS = 0x58
const AVAILABLE = 1 << 10
const FULL = 1 << 15
const DATA1 = 1 << 13
const STALL = 1 << 11

/** USB 2.0 §9.6.1, CDC 1.2 §5: as little as a serial port needs. */
const DEVICE = [18, 1, 0, 2, 2, 0, 0, 64, 9, 18, 1, 0, 0, 1, 0, 0, 0, 1]
const CONFIGURATION = [
  ...[9, 2, 48, 0, 2, 1, 0, 0x80, 50],
  ...[9, 4, 0, 0, 1, 2, 2, 0, 0],
  ...[7, 5, 0x81, 3, 8, 0, 16],
  ...[9, 4, 1, 0, 2, 10, 0, 0, 0],
  ...[7, 5, 0x82, 2, 64, 0, 0],
  ...[7, 5, 0x02, 2, 64, 0, 0],
]

/** Firmware of a few lines that works by the registers only, as the chip's does. */
class Device {
  readonly time = new Timeline()
  readonly ram = new Uint8Array(4096)
  readonly view = new DataView(this.ram.buffer)
  readonly controller: UsbController
  readonly host: UsbHost
  readonly received: number[] = []
  readonly requests: number[][] = []
  sofs = 0
  /** Requests (by their number) that it answers with STALL. */
  readonly refused = new Set<number>()
  /** What it does with an IN toggle; a wrong one shows whether anybody looks. */
  wrongToggle = false
  #cycle = 0
  #reply: number[] = []
  #replyToggle = true
  #address = 0
  #outToggle = false
  #inToggle = false

  constructor() {
    this.controller = new UsbController({
      ram: this.ram,
      time: this.time,
      device: () => null,
      cycle: () => this.#cycle,
      interrupt: (wanted) => {
        if (wanted) this.time.createAlarm(() => this.#serve()).schedule(500)
      },
      changed: () => this.host.deviceChanged(),
      requireClock: () => {},
    })
    this.host = new UsbHost(this.time, () => this.controller)
    this.write(0x74, 9)
    this.write(0x78, 0xc)
    this.write(0x40, 1)
    this.write(0x4c, 1 << 29)
    this.write(0x90, (1 << 4) | (1 << 12) | (1 << 16))
  }

  pullUp(): void {
    this.write(0x4c, (1 << 29) | (1 << 16))
  }

  write(offset: number, value: number): void {
    this.controller.writeUint32(offset, value)
  }

  poke(offset: number, value: number): void {
    const before = this.view.getUint32(offset, true)
    this.view.setUint32(offset, value, true)
    this.controller.ramWritten(offset, before, value >>> 0)
  }

  arm(endpoint: number, isOut: boolean, control: number): void {
    const offset = 0x80 + 8 * endpoint + (isOut ? 4 : 0)
    this.poke(offset, control)
    this.#cycle += 4
    this.poke(offset, control | AVAILABLE)
  }

  give(bytes: readonly number[]): void {
    this.ram.set(bytes, 0x1c0)
    this.arm(2, false, FULL | (this.#inToggle !== this.wrongToggle ? DATA1 : 0) | bytes.length)
    this.#inToggle = !this.#inToggle
  }

  take(): void {
    this.arm(2, true, (this.#outToggle ? DATA1 : 0) | 64)
  }

  pass(ms: number): void {
    this.time.advanceTo(this.time.nanos + ms * MS)
  }

  plug(): void {
    this.pullUp()
    this.host.attach()
    this.pass(1000)
  }

  #serve(): void {
    const status = this.controller.readUint32(0x98)
    if (status & (1 << 12)) {
      this.write(0, 0)
      this.#address = 0
      this.write(SIE_STATUS, 1 << 19)
    }
    if (status & (1 << 16)) {
      this.write(SIE_STATUS, 1 << 17)
      this.#setup([...this.ram.subarray(0, 8)])
    }
    if (status & (1 << 4)) this.#buffers()
  }

  #setup(packet: number[]): void {
    this.requests.push(packet)
    const [type = 0, request = 0, low = 0, high = 0, , , length = 0] = packet
    this.#replyToggle = true
    if (this.refused.has(request)) {
      this.write(0x68, 3)
      this.poke(0x80, STALL)
      this.poke(0x84, STALL)
      return
    }
    if (request === 5) this.#address = low
    if (request === 9) {
      this.poke(0x08, 0xac000000 | 0x180)
      this.poke(0x10, 0xa8000000 | 0x1c0)
      this.poke(0x14, 0xa8000000 | 0x200)
      this.take()
    }
    if (request === 6) this.#reply = (high === 1 ? DEVICE : high === 2 ? CONFIGURATION : []).slice(0, length)
    else this.#reply = []
    if (type & 0x80 || length === 0) this.#answer()
    else this.arm(0, true, DATA1 | 64)
  }

  #answer(): void {
    const part = this.#reply.splice(0, 64)
    this.ram.set(part, 0x100)
    this.arm(0, false, FULL | (this.#replyToggle ? DATA1 : 0) | part.length)
    this.#replyToggle = !this.#replyToggle
  }

  #buffers(): void {
    const done = this.controller.readUint32(BUFF_STATUS)
    this.write(BUFF_STATUS, done)
    if (done & 1) {
      this.write(0, this.#address)
      if (this.#reply.length > 0) this.#answer()
      else this.arm(0, true, DATA1 | 64)
    }
    if (done & 2 && (this.requests.at(-1)?.[6] ?? 0) > 0 && !((this.requests.at(-1)?.[0] ?? 0) & 0x80))
      this.#answer()
    if (done & (1 << 5)) {
      const length = this.view.getUint32(0x94, true) & 0x3ff
      this.received.push(...this.ram.subarray(0x200, 0x200 + length))
      this.#outToggle = !this.#outToggle
      this.take()
    }
  }
}

describe('the USB controller with a computer at the other end', () => {
  it('is enumerated with the pauses of the standard (USB 2.0 §7.1.7, §9.1, §9.2.6)', () => {
    const device = new Device()
    device.pullUp()
    device.host.attach()
    device.pass(99)
    expect(device.controller.readUint32(SIE_STATUS) & (1 << 19)).toBe(0)
    device.pass(59)
    expect(device.requests).toEqual([])
    device.pass(800)
    expect(device.host.faults).toEqual([])
    expect(device.host.state).toBe('configured')
    expect([...(device.host.enumerated?.device ?? [])]).toEqual(DEVICE)
    expect([...(device.host.enumerated?.configuration ?? [])]).toEqual(CONFIGURATION)
    expect(device.requests.map(([, request]) => request)).toEqual([6, 5, 6, 6, 6, 9])
    expect(device.controller.address).toBe(5)
  })

  it('starts a frame each millisecond and counts it (§8.4.3)', () => {
    const device = new Device()
    device.plug()
    const frame = device.controller.readUint32(0x48)
    device.pass(10)
    expect(device.controller.readUint32(0x48)).toBe((frame + 10) & 0x7ff)
  })

  it('opens the port by line coding and DTR, and moves bytes both ways (CDC PSTN 1.2 §6.3)', () => {
    const device = new Device()
    const got: number[] = []
    device.plug()
    device.host.onBytes = (bytes) => got.push(...bytes)
    device.host.openPort()
    device.pass(5)
    expect(device.requests.slice(-2).map((packet) => packet.slice(0, 4))).toEqual([
      [0x21, 0x20, 0, 0],
      [0x21, 0x22, 3, 0],
    ])
    const bytes = Array.from({ length: 150 }, (_, k) => k)
    device.host.send(Uint8Array.from(bytes))
    device.give([7, 8, 9])
    device.pass(5)
    device.give([10])
    device.pass(5)
    expect(device.received).toEqual(bytes)
    expect(got).toEqual([7, 8, 9, 10])
    device.host.closePort()
    device.pass(5)
    expect(device.requests.at(-1)?.slice(0, 4)).toEqual([0x21, 0x22, 0, 0])
    expect(device.host.faults).toEqual([])
  })

  it('never moves more than 19 packets of 64 bytes in a frame (§5.8.4, table 5-9)', () => {
    const device = new Device()
    device.plug()
    device.host.openPort()
    device.pass(5)
    device.host.send(new Uint8Array(64 * 400))
    const perFrame: number[] = []
    for (let frame = 0; frame < 10; frame += 1) {
      const before = device.host.packets.out
      device.pass(1)
      perFrame.push(device.host.packets.out - before)
    }
    expect(Math.max(...perFrame)).toBeLessThanOrEqual(19)
    expect(Math.max(...perFrame)).toBeGreaterThanOrEqual(17)
  })

  it('gives nothing while nobody asks: an armed packet waits for a host', () => {
    const device = new Device()
    device.plug()
    device.give([1, 2, 3])
    device.pass(20)
    expect(device.view.getUint32(0x90, true) & AVAILABLE).not.toBe(0)
    device.host.openPort()
    device.pass(5)
    expect(device.view.getUint32(0x90, true) & AVAILABLE).toBe(0)
  })

  it('answers STALL until the next SETUP (RP2040 datasheet §4.1.4, EP_STALL_ARM)', () => {
    const device = new Device()
    device.plug()
    device.refused.add(0x77)
    const refused = device.host.control({
      bmRequestType: 0xc0,
      bRequest: 0x77,
      wValue: 0,
      wIndex: 0,
      wLength: 4,
    })
    const after = device.host.control({
      bmRequestType: 0x80,
      bRequest: 6,
      wValue: 0x100,
      wIndex: 0,
      wLength: 18,
    })
    device.pass(5)
    expect(refused.outcome).toEqual({ kind: 'stalled' })
    expect(after.outcome).toEqual({ kind: 'done', bytes: Uint8Array.from(DEVICE) })
  })

  it('notes a wrong toggle and drops the packet (USB 2.0 §8.6.4)', () => {
    const device = new Device()
    const got: number[] = []
    device.plug()
    device.host.onBytes = (bytes) => got.push(...bytes)
    device.host.openPort()
    device.pass(5)
    device.wrongToggle = true
    device.give([1])
    device.pass(5)
    expect(got).toEqual([])
    expect(device.host.faults).toEqual(['endpoint 2 IN: DATA1 where DATA0 was due'])
  })

  it('gives up a device that never answers', () => {
    const device = new Device()
    device.write(0x90, 0)
    device.plug()
    device.pass(6000)
    expect(device.host.state).toBe('failed')
    expect(device.host.faults).toHaveLength(1)
  })

  it('loses an open port with the cable and finds the device again', () => {
    const device = new Device()
    let lost = 0
    device.plug()
    device.host.onLost = () => (lost += 1)
    device.host.openPort()
    device.pass(5)
    device.host.detach()
    expect([lost, device.host.state]).toEqual([1, 'unplugged'])
    expect(() => device.host.send(Uint8Array.of(1))).toThrow()
    device.host.attach()
    device.pass(1000)
    expect(device.host.state).toBe('configured')
  })

  it('is suspended after three milliseconds without a frame, and resumed (§7.1.7.6)', () => {
    const device = new Device()
    device.plug()
    device.host.suspend()
    device.pass(2.9)
    expect(device.controller.readUint32(SIE_STATUS) & (1 << 4)).toBe(0)
    device.pass(0.2)
    expect(device.controller.readUint32(SIE_STATUS) & (1 << 4)).not.toBe(0)
    device.host.resume()
    device.pass(1)
    expect(device.controller.readUint32(SIE_STATUS) & ((1 << 4) | (1 << 11))).toBe(1 << 11)
  })

  it('asks that AVAILABLE comes after the rest of a buffer control (RP2040 datasheet §4.1.2.5.1)', () => {
    const device = new Device()
    expect(() => device.poke(0x90, FULL | AVAILABLE | 3)).toThrow(ChipTrap)
    const other = new Device()
    other.poke(0x90, FULL | 3)
    expect(() => other.poke(0x90, FULL | AVAILABLE | 3)).toThrow(ChipTrap)
  })

  it('drops a device that lets go of the pull-up', () => {
    const device = new Device()
    device.plug()
    device.write(0x4c, 1 << 29)
    expect(device.host.state).toBe('waiting')
    device.pullUp()
    device.pass(1000)
    expect(device.host.state).toBe('configured')
  })
})
