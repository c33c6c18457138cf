import { describe, expect, it } from 'vitest'
import { Timeline } from '../../../src/adapter/emulator/timeline.ts'
import { ChipTrap } from '../../../src/adapter/emulator/trap.ts'
import { UsbController } from '../../../src/adapter/emulator/usb-controller.ts'
import { VirtualPad } from '../../reference/adapter/emulator/virtual-pad.ts'
import type { PadDescription } from '../../reference/adapter/emulator/virtual-pad.ts'
import { gamePad } from '../../reference/adapter/emulator/virtual-pads.ts'

const MS = 1_000_000
const US = 1000

/** Offsets and bits of RP2040 datasheet §4.1.4. */
const ADDR_ENDP = 0x00
const MAIN_CTRL = 0x40
const SOF_RD = 0x48
const SIE_CTRL = 0x4c
const SIE_STATUS = 0x50
const INT_EP_CTRL = 0x54
const BUFF_STATUS = 0x58
const BUFF_CPU_SHOULD_HANDLE = 0x5c
const MUXING = 0x74
const INTE = 0x90
const INTS = 0x98
const EPX_BUFFER = 0x80
const EPX = 0x100

const START = 1 << 0
const SEND_SETUP = 1 << 1
const SEND_DATA = 1 << 2
const RECEIVE_DATA = 1 << 3
const STOP = 1 << 4
const SOF_EN = 1 << 9
const RESET_BUS = 1 << 13
const PULLDOWN = 1 << 15
const BASE = PULLDOWN | SOF_EN

const COMPLETE = 1 << 18
const TIMEOUT = 1 << 27
const NAK = 1 << 28
const STALL = 1 << 29
const SEQUENCE = 2 ** 31
const ALL = 0xff000000 | COMPLETE

const FULL = 1 << 15
const LAST = 1 << 14
const DATA1 = 1 << 13
const AVAILABLE = 1 << 10
const CONTROL = 2 ** 31 + (1 << 29) + 0x180
const INTERRUPT = CONTROL + (3 << 26)

const GET_DEVICE = [0x80, 6, 0, 1, 0, 0, 18, 0]

/** A host of a few lines that works by the registers only. */
class Host {
  readonly time = new Timeline()
  readonly ram = new Uint8Array(4096)
  readonly view = new DataView(this.ram.buffer)
  readonly pad: VirtualPad
  readonly controller: UsbController
  /** How often the interrupt line rose. */
  interrupts = 0
  #cycle = 0

  constructor(description: PadDescription = gamePad()) {
    this.pad = new VirtualPad(description)
    this.controller = new UsbController({
      ram: this.ram,
      time: this.time,
      cycle: () => this.#cycle,
      interrupt: (wanted) => {
        if (wanted) this.interrupts += 1
      },
      changed: () => {},
      requireClock: () => {},
      device: () => this.pad,
    })
    this.pad.onLine = () => this.controller.asHost.lineChanged()
    this.pad.plug(this.time)
    this.write(MUXING, 9)
    this.write(MAIN_CTRL, 3)
    this.write(SIE_CTRL, PULLDOWN)
    this.pad.setPower(true)
  }

  write(offset: number, value: number): void {
    this.controller.writeUint32(offset, value)
  }
  read(offset: number): number {
    return this.controller.readUint32(offset)
  }
  wait(cycles = 4): void {
    this.#cycle += cycles
  }
  pass(ns: number): void {
    this.time.advanceTo(this.time.nanos + ns)
  }
  poke(offset: number, value: number): void {
    const before = this.view.getUint32(offset, true)
    this.view.setUint32(offset, value, true)
    this.controller.ramWritten(offset, before, value >>> 0)
  }

  /** Debounce, reset and recovery, as long as they have to be. */
  bringUp(): void {
    this.pass(200 * MS)
    for (let k = 0; k < 60; k += 1) {
      this.write(SIE_CTRL, PULLDOWN | RESET_BUS)
      this.pass(MS)
    }
    this.write(SIE_CTRL, BASE)
    this.pass(15 * MS)
  }

  arm(endpoint: number, buffer: number): void {
    this.poke(EPX, endpoint)
    this.poke(EPX_BUFFER, buffer)
    this.wait()
    this.poke(EPX_BUFFER, buffer | AVAILABLE)
  }

  go(direction: number, address = 0): void {
    this.write(SIE_STATUS, ALL)
    this.write(ADDR_ENDP, address)
    this.write(SIE_CTRL, BASE | direction)
    this.wait()
    this.write(SIE_CTRL, BASE | direction | START)
  }

  setup(packet: readonly number[], address = 0): number {
    this.ram.set(packet, 0)
    this.go(SEND_SETUP, address)
    this.pass(2 * MS)
    return this.read(SIE_STATUS)
  }

  in(buffer: number, endpoint = CONTROL, address = 0): number {
    this.arm(endpoint, buffer)
    this.go(RECEIVE_DATA, address)
    this.pass(2 * MS)
    return this.read(SIE_STATUS)
  }
}

describe('the USB controller as a host', () => {
  it('tells who is on the line, and asks a device for its descriptor', () => {
    const host = new Host()
    expect((host.read(SIE_STATUS) >> 8) & 3).toBe(0)
    host.write(INTE, 1)
    host.pass(30 * MS)
    expect(host.interrupts).toBe(1)
    expect((host.read(SIE_STATUS) >> 8) & 3).toBe(2)
    host.write(SIE_STATUS, 3 << 8)
    expect(host.read(INTS)).toBe(0)
    host.bringUp()
    expect(host.setup(GET_DEVICE) & (COMPLETE | TIMEOUT)).toBe(COMPLETE)
    expect(host.in(LAST | DATA1 | 64) & COMPLETE).toBe(COMPLETE)
    expect([...host.ram.subarray(0x180, 0x192)]).toEqual([...gamePad().device])
    expect(host.view.getUint32(EPX_BUFFER, true)).toBe(FULL | LAST | DATA1 | 18)
    expect(host.read(BUFF_STATUS)).toBe(1)
    expect(host.pad.complaints).toEqual([])
  })

  it('writes what came of a packet into the lower and the upper half in turns (RP2040-E4)', () => {
    const host = new Host(gamePad({ packet0: 8 }))
    host.bringUp()
    host.setup(GET_DEVICE)
    const halves = [LAST | DATA1, LAST, LAST | DATA1].map((toggle) => {
      host.in(toggle | 64)
      const word = host.view.getUint32(EPX_BUFFER, true)
      return [host.read(BUFF_CPU_SHOULD_HANDLE) & 1, word & 0x3ff, (word >>> 16) & 0x3ff]
    })
    // Where it goes to the upper half, the lower one stays as it was armed.
    expect(halves).toEqual([
      [0, 8, 0],
      [1, 64, 8],
      [0, 2, 0],
    ])
  })

  it('asks again after a NAK on a control endpoint, until it is stopped', () => {
    const host = new Host(gamePad({ vices: { slowMs: 5 } }))
    host.bringUp()
    host.setup(GET_DEVICE)
    expect(host.in(LAST | DATA1 | 64) & (COMPLETE | NAK)).toBe(NAK)
    host.pass(4 * MS)
    expect(host.read(SIE_STATUS) & COMPLETE).toBe(COMPLETE)
    host.setup(GET_DEVICE)
    host.in(LAST | DATA1 | 64)
    host.write(SIE_CTRL, BASE | RECEIVE_DATA | STOP)
    host.pass(200 * US)
    expect(host.read(SIE_CTRL) & (STOP | START)).toBe(0)
    host.pass(10 * MS)
    expect(host.read(SIE_STATUS) & COMPLETE).toBe(0)
  })

  it('ends an interrupt transaction with its first handshake, and marks it as full whatever it was', () => {
    const host = new Host()
    host.bringUp()
    host.setup([0, 5, 1, 0, 0, 0, 0, 0])
    host.in(LAST | DATA1 | 64)
    host.pass(5 * MS)
    host.setup([0, 9, 1, 0, 0, 0, 0, 0], 1)
    host.in(LAST | DATA1 | 64, CONTROL, 1)
    const poll = (toggle: number): number => host.in(LAST | toggle | 64, INTERRUPT, 1 | (1 << 16))
    expect(poll(0) & (COMPLETE | NAK)).toBe((COMPLETE | NAK) >>> 0)
    host.pad.report(Uint8Array.of(1, 2, 3))
    expect(poll(DATA1) & (COMPLETE | SEQUENCE)).toBe(COMPLETE | SEQUENCE | 0)
    expect(host.pad.waiting).toBe(1)
    expect(poll(0) & (COMPLETE | NAK | STALL)).toBe(COMPLETE)
    expect(host.pad.waiting).toBe(0)
    expect([...host.ram.subarray(0x180, 0x183)]).toEqual([1, 2, 3])
  })

  it('times out where nobody answers, and refuses by STALL what the device refuses', () => {
    const silent = new Host(gamePad({ vices: { silent: true } }))
    silent.bringUp()
    expect(silent.setup(GET_DEVICE) & (COMPLETE | TIMEOUT)).toBe(TIMEOUT)
    const refusing = new Host(gamePad({ vices: { stalls: [6] } }))
    refusing.bringUp()
    refusing.setup(GET_DEVICE)
    expect(refusing.in(LAST | DATA1 | 64) & STALL).toBe(STALL)
  })

  it('counts frames, and forgets that one began when the number is read', () => {
    const host = new Host()
    host.bringUp()
    const first = host.read(SOF_RD)
    host.pass(3 * MS)
    host.write(INTE, 1 << 2)
    expect(host.read(INTS)).toBe(1 << 2)
    expect(host.read(SOF_RD)).toBe(first + 3)
    expect(host.read(INTS)).toBe(0)
  })

  const traps = (why: RegExp, run: (host: Host) => void) => {
    const host = new Host()
    host.bringUp()
    expect(() => run(host)).toThrow(ChipTrap)
    const again = new Host()
    again.bringUp()
    expect(() => run(again)).toThrow(why)
  }

  it('lets nothing pass that the chip would not do', () => {
    // START_TRANS together with what it needs, or just after it.
    traps(/has stood/, (host) => host.write(SIE_CTRL, BASE | SEND_SETUP | START))
    traps(/has stood/, (host) => {
      host.write(SIE_CTRL, BASE | SEND_SETUP)
      host.wait(1)
      host.write(SIE_CTRL, BASE | SEND_SETUP | START)
    })
    // Two at once, two directions, none.
    traps(/goes on/, (host) => {
      host.go(SEND_SETUP)
      host.write(SIE_CTRL, BASE | SEND_SETUP | START)
    })
    traps(/directions/, (host) => host.go(SEND_SETUP | RECEIVE_DATA))
    traps(/directions/, (host) => host.go(0))
    // No endpoint, no buffer, a buffer that does not go with the direction, one that is not the last, one too long.
    traps(/not enabled/, (host) => host.go(RECEIVE_DATA))
    traps(/no buffer/, (host) => {
      host.poke(EPX, CONTROL)
      host.go(RECEIVE_DATA)
    })
    traps(/FULL/, (host) => host.in(LAST | FULL | 64))
    traps(/FULL/, (host) => {
      host.arm(CONTROL, LAST | DATA1)
      host.go(SEND_DATA)
    })
    traps(/several buffers/, (host) => host.in(DATA1 | 64))
    traps(/65 bytes/, (host) => host.in(LAST | DATA1 | 65))
    traps(/lies at/, (host) => host.in(LAST | DATA1 | 64, 2 ** 31 + 0x140))
    // AVAILABLE before the rest, double buffers, endpoints that the controller polls, bits that nobody knows.
    traps(/has stood/, (host) => host.poke(EPX_BUFFER, LAST | 64 | AVAILABLE))
    traps(/double/, (host) => host.poke(EPX_BUFFER, 1 << 16))
    traps(/hang/, (host) => host.write(INT_EP_CTRL, 2))
    traps(/not modelled/, (host) => host.write(SIE_CTRL, BASE | (1 << 16)))
    // A reset in the midst of something, something in the midst of a reset, no frames, a role without a reset.
    traps(/reset in the midst/, (host) => {
      host.go(SEND_SETUP)
      host.write(SIE_CTRL, BASE | SEND_SETUP | RESET_BUS)
    })
    traps(/while the bus is reset/, (host) => {
      host.write(SIE_CTRL, BASE | RESET_BUS | SEND_SETUP)
      host.wait()
      host.write(SIE_CTRL, BASE | RESET_BUS | SEND_SETUP | START)
    })
    traps(/without frames/, (host) => {
      host.write(SIE_CTRL, PULLDOWN | SEND_SETUP)
      host.wait()
      host.write(SIE_CTRL, PULLDOWN | SEND_SETUP | START)
    })
    traps(/without a reset/, (host) => host.write(MAIN_CTRL, 1))
  })
})

describe('the virtual pad', () => {
  const complains = (run: (host: Host) => void): string[] => {
    const host = new Host()
    run(host)
    return host.pad.complaints
  }
  const reset = (host: Host, ms: number): void => {
    for (let k = 0; k < ms; k += 1) {
      host.write(SIE_CTRL, PULLDOWN | RESET_BUS)
      host.pass(MS)
    }
    host.write(SIE_CTRL, BASE)
  }

  it('complains of a host that breaks the times of the standard', () => {
    expect(
      complains((host) => {
        host.pass(40 * MS)
        reset(host, 60)
      }),
    ).toEqual([expect.stringContaining('§7.1.7.3')])
    expect(
      complains((host) => {
        host.pass(200 * MS)
        reset(host, 30)
        host.pass(12 * MS)
        host.setup(GET_DEVICE)
      }),
    ).toEqual(['a reset shorter than 50 ms (§7.1.7.5)'])
    expect(
      complains((host) => {
        host.pass(200 * MS)
        reset(host, 60)
        host.pass(5 * MS)
        host.setup(GET_DEVICE)
      }),
    ).toEqual(['a token within 10 ms of a reset (§7.1.7.5)'])
    expect(
      complains((host) => {
        host.bringUp()
        host.setup([0, 5, 1, 0, 0, 0, 0, 0])
        host.arm(CONTROL, LAST | DATA1 | 64)
        host.go(RECEIVE_DATA)
        host.pass(500 * US)
        host.setup(GET_DEVICE, 1)
      }),
    ).toEqual([expect.stringContaining('§9.2.6.3')])
    expect(
      complains((host) => {
        host.pass(200 * MS)
        host.write(SIE_CTRL, BASE)
        host.setup(GET_DEVICE)
      }),
    ).toEqual([expect.stringContaining('§9.1.2')])
  })
})
