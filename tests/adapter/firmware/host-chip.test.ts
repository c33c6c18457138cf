import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { ChipTrap } from '../../../src/adapter/emulator/trap.ts'
import type { Vices } from '../../reference/adapter/emulator/virtual-pad.ts'
import {
  describeDevice,
  gamePad,
  hub,
  keyboard,
  receiver,
  somethingElse,
  vendorPad,
} from '../../reference/adapter/emulator/virtual-pads.ts'
import { crc32 } from '../../../src/document/crc32.ts'
import { arbVisit } from './arbitrary-pad.ts'
import { visit } from './host-visits.ts'
import { MS, NOTHING_PRESSED, PadRig, REST, UP, UP_PRESSED, gamePadLayout, imageWith } from './pad-rig.ts'
import { flashWith } from './rig.ts'

/**
 * The firmware as the host of a pad, on the emulated chip. The virtual pad holds it to the times of USB 2.0: §7.1.7.3 (debounce),
 * §7.1.7.5 (reset and recovery), §7.1.7.6 (frames), §8.5.3 (control transfers), §9.2.6.3 (address).
 */

/** `GET_DESCRIPTOR` and so on, by the numbers of USB 2.0 table 9-4 and HID 1.11 §7.2. */
const named = (packet: Uint8Array): string =>
  ({ 1: 'clear-feature', 5: 'address', 6: 'descriptor', 9: 'configuration', 10: 'idle', 11: 'protocol' })[
    packet[1] ?? 0
  ] ?? 'other'

describe('a pad at the plug', () => {
  test('comes up, and what is pressed reaches the port', () => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad())
    expect(rig.served(pad)).toBe(true)
    rig.settle(pad)
    expect(rig.chip.de9).toBe(NOTHING_PRESSED)
    rig.report(pad, UP)
    expect(rig.chip.de9).toBe(UP_PRESSED)
    rig.report(pad, REST)
    expect(rig.chip.de9).toBe(NOTHING_PRESSED)
    // One poll each: no toggle is wrong.
    for (let k = 0; k < 6; k += 1) pad.report(REST)
    rig.chip.runFor(6 * 4 * MS + MS)
    expect(pad.waiting).toBe(0)
    expect(pad.complaints).toEqual([])
    expect(pad.requests.map(named)).toEqual([
      'descriptor',
      'address',
      'descriptor',
      'descriptor',
      'descriptor',
      'configuration',
      'descriptor',
      'idle',
    ])
    expect(rig.chip.watchdogResets).toBe(0)
  })

  test('is asked at the interval that it wants', () => {
    for (const intervalMs of [1, 4, 255]) {
      const rig = new PadRig()
      const pad = rig.plug(gamePad({}, { intervalMs }))
      expect(rig.served(pad)).toBe(true)
      rig.chip.runFor(3 * intervalMs * MS + MS)
      const gaps = pad.polledNs.slice(1).map((ns, k) => ns - (pad.polledNs[k] as number))
      expect(gaps.length).toBeGreaterThanOrEqual(3)
      for (const gap of gaps) expect(Math.abs(gap - intervalMs * MS)).toBeLessThan(20_000)
    }
  })

  test('lets go of everything at once when it is pulled, and is served again', () => {
    const rig = new PadRig()
    for (let k = 0; k < 4; k += 1) {
      const pad = rig.plug(gamePad())
      expect(rig.served(pad)).toBe(true)
      rig.settle(pad)
      rig.report(pad, UP)
      expect(rig.chip.de9).toBe(UP_PRESSED)
      rig.chip.runFor(k * 333_333)
      rig.chip.unplugPad()
      rig.chip.runFor(100_000)
      expect(rig.chip.de9).toBe(NOTHING_PRESSED)
      rig.chip.runFor(k * 150 * MS)
      expect(pad.complaints).toEqual([])
    }
  })

  test('may leave the bus by itself and come back, on the same power', () => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad({ vices: { leavesAfterMs: 600, backAfterMs: 200 } }))
    expect(rig.served(pad)).toBe(true)
    rig.chip.runUntil(() => !pad.connected, 2000 * MS, MS)
    pad.polledNs.length = 0
    expect(rig.served(pad)).toBe(true)
    expect(pad.complaints).toEqual([])
  })

  test('of low speed is served too, its reports in three packets', () => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad({ speed: 'low' }, { packetBytes: 2, intervalMs: 10 }))
    expect(rig.served(pad)).toBe(true)
    rig.settle(pad)
    rig.report(pad, UP)
    expect(rig.chip.de9).toBe(UP_PRESSED)
    // A report that ends with a full packet and an empty one, and one that is cut short.
    rig.report(pad, REST)
    expect(rig.chip.de9).toBe(NOTHING_PRESSED)
    expect(pad.complaints).toEqual([])
  })

  test('of the vendor class is read by the table of the firmware; what is no report is passed over', () => {
    const rig = new PadRig([])
    const pad = rig.plug(vendorPad())
    expect(rig.served(pad)).toBe(true)
    const press = (buttons: number): Uint8Array => {
      const bytes = new Uint8Array(20)
      bytes.set([0x00, 0x14, buttons])
      return bytes
    }
    rig.report(pad, press(0))
    rig.chip.runFor(505 * MS)
    rig.report(pad, press(1))
    expect(rig.chip.de9).toBe(UP_PRESSED)
    rig.report(pad, Uint8Array.of(0x08, 0x80, 0, 0, 0))
    rig.report(pad, Uint8Array.of(0x01, 0x14, 0, 0, 0))
    expect(rig.chip.de9).toBe(UP_PRESSED)
    rig.report(pad, press(0))
    expect(rig.chip.de9).toBe(NOTHING_PRESSED)
  })

  test('beside the keyboard of a receiver is found, and its own protocol asked for', () => {
    const rig = new PadRig()
    const pad = rig.plug(receiver())
    expect(rig.served(pad)).toBe(true)
    pad.report(REST, 2)
    rig.chip.runFor(520 * MS)
    pad.report(UP, 2)
    rig.chip.runFor(20 * MS)
    expect(rig.chip.de9).toBe(UP_PRESSED)
    expect(pad.complaints).toEqual([])
  })
})

describe('what is no pad', () => {
  test.each([
    ['HUB', 500, hub()],
    ['KEYBOARD', 500, keyboard()],
    ['NOT_A_PAD', 500, somethingElse()],
    // Three tries, the last with the power off in between.
    ['PAD_FAILED', 2200, gamePad({ vices: { silent: true } })],
    ['OVER_CURRENT', 500, gamePad({ vices: { overloads: true } })],
    ['PAD_UNKNOWN', 500, gamePad({ product: 9 })],
  ])('%s is told by the light, and a pad in its place is served', (name, afterMs, description) => {
    const rig = new PadRig(null)
    rig.plug(description)
    rig.chip.runFor(afterMs * MS)
    expect(rig.light()).toBe(name)
    rig.chip.unplugPad()
    const pad = rig.plug(vendorPad())
    expect(rig.served(pad, 6000)).toBe(true)
    expect(pad.complaints).toEqual([])
    if (name === 'HUB') expect(rig.light()).toBe('PAD_WAITS')
  })
})

describe('a pad with vices', () => {
  const serves = (vices: Vices, limitMs = 3000): void => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad({ vices }))
    expect(rig.served(pad, limitMs)).toBe(true)
    rig.settle(pad)
    for (let k = 0; k < 10; k += 1) {
      rig.report(pad, UP)
      expect(rig.chip.de9).toBe(UP_PRESSED)
      rig.report(pad, REST)
      expect(rig.chip.de9).toBe(NOTHING_PRESSED)
    }
    expect(pad.complaints).toEqual([])
    expect(rig.chip.watchdogResets).toBe(0)
  }

  test.each<[string, Vices]>([
    ['takes its time over every stage', { slowMs: 45 }],
    ['takes its time to show itself', { attachMs: 450 }],
    ['takes longer than any device may to show itself', { attachMs: 1200 }],
    ['refuses SET_IDLE', { stalls: [10] }],
    ['answers after its second reset', { resetsNeeded: 2 }],
    ['has a wrong CRC now and then', { garblesOneIn: 6 }],
    ['misses acknowledgements', { missesAckOneIn: 4, seed: 5 }],
    ['begins with DATA1', { beginsWithData1: true }],
  ])('%s', (_, vices) => serves(vices, 5000))

  test('stalls its endpoint, and goes on when that is cleared', () => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad({ vices: { haltsAfter: 3 } }))
    expect(rig.served(pad)).toBe(true)
    rig.settle(pad)
    for (const report of [UP, REST, UP]) rig.report(pad, report)
    expect(rig.chip.de9).toBe(UP_PRESSED)
    expect(pad.requests.map(named).filter((name) => name === 'clear-feature')).toHaveLength(1)
  })

  test('lies about the sizes of its descriptors', () => {
    for (const description of [
      gamePad({ toldTotal: 9 + 25 + 200 }),
      gamePad({ toldTotal: 0xffff }),
      gamePad({}, { toldDescriptorBytes: 1500 }),
      gamePad({}, { packetBytes: 0x7ff }),
    ]) {
      const rig = new PadRig()
      const pad = rig.plug(description)
      expect(rig.served(pad)).toBe(true)
      rig.settle(pad)
      rig.report(pad, UP)
      expect(rig.chip.de9).toBe(UP_PRESSED)
    }
  })

  test('sends reports that are too short, too long and empty', () => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad())
    expect(rig.served(pad)).toBe(true)
    rig.settle(pad)
    rig.report(pad, UP)
    rig.report(pad, new Uint8Array(0))
    rig.report(pad, Uint8Array.of(0, 0))
    // The hat switch stands beyond the end of what came: what was said of it last counts.
    expect(rig.chip.de9).toBe(UP_PRESSED)
    const long = new Uint8Array(64).fill(0xff)
    long.set(REST)
    rig.report(pad, long)
    expect(rig.chip.de9).toBe(NOTHING_PRESSED)
  })

  /** HID 1.11 section 8.4, from memory: only reports that are longer than a packet have to end in a short one. */
  test('sends a report that fills its packet, and longer ones of other numbers: none waits for the next', () => {
    const bytesOf = (report: number, bytes: number): number[] => [
      ...[0x85, report, 0x06, 0x00, 0xff, 0x09, 0x01, 0x15, 0x00, 0x26, 0xff, 0x00],
      ...[0x75, 0x08, 0x95, bytes, 0x81, 0x02],
    ]
    const description = describeDevice({
      interfaces: [
        {
          class: [3, 0, 0],
          packetBytes: 8,
          intervalMs: 4,
          reportDescriptor: [
            ...[0x05, 0x01, 0x09, 0x05, 0xa1, 0x01],
            ...bytesOf(1, 7),
            ...bytesOf(2, 24),
            ...bytesOf(3, 15),
            0xc0,
          ],
        },
      ],
    })
    const layout = gamePadLayout(1)
    const rig = new PadRig([
      {
        ...layout,
        extractors: layout.extractors.map((one) => ({ ...one, field: { ...one.field, report: 1 } })),
      },
    ])
    const numbered = (report: number, bytes: Uint8Array, length: number): Uint8Array => {
      const whole = new Uint8Array(1 + length)
      whole.set([report, ...bytes])
      return whole
    }
    const pad = rig.plug(description)
    expect(rig.served(pad)).toBe(true)
    rig.report(pad, numbered(1, REST, 7))
    rig.chip.runFor(505 * MS)
    for (let k = 0; k < 3; k += 1) {
      rig.report(pad, numbered(1, UP, 7))
      expect(rig.chip.de9).toBe(UP_PRESSED)
      rig.report(pad, numbered(2, REST, 24))
      rig.report(pad, numbered(3, REST, 15))
      expect(rig.chip.de9).toBe(UP_PRESSED)
      rig.report(pad, numbered(1, REST, 7))
      expect(rig.chip.de9).toBe(NOTHING_PRESSED)
    }
  })

  test('falls silent while something is pressed: it is let go', () => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad())
    expect(rig.served(pad)).toBe(true)
    rig.settle(pad)
    rig.report(pad, UP)
    expect(rig.chip.de9).toBe(UP_PRESSED)
    pad.fallSilent()
    rig.chip.runFor(100 * MS)
    expect(rig.chip.de9).toBe(NOTHING_PRESSED)
  })

  test('falls silent, and is asked as seldom as can be: it is let go soon after the first poll that fails', () => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad({}, { intervalMs: 255 }))
    expect(rig.served(pad)).toBe(true)
    rig.settle(pad)
    rig.report(pad, UP)
    expect(rig.chip.de9).toBe(UP_PRESSED)
    pad.fallSilent()
    rig.chip.runFor(255 * MS + 65 * MS)
    expect(rig.chip.de9).toBe(NOTHING_PRESSED)
  })
})

describe('the one connector', () => {
  test('VBUS is not given at once, and not while a computer gives it', () => {
    const rig = new PadRig()
    const { chip } = rig
    chip.usb.attach()
    chip.runFor(3000 * MS)
    expect(chip.givesVbus).toBe(false)
    expect(chip.usb.state).toBe('configured')
    chip.usb.suspend()
    chip.runFor(3000 * MS)
    expect(chip.givesVbus).toBe(false)
    chip.usb.detach()
    chip.runFor(100 * MS)
    expect(chip.givesVbus).toBe(false)
    chip.runFor(200 * MS)
    expect(chip.givesVbus).toBe(true)
  })

  test('goes from computer to pad and back, in any state of looking for either', () => {
    const rig = new PadRig()
    const { chip } = rig
    for (const waitMs of [0, 160, 400, 690, 1100]) {
      chip.runFor(waitMs * MS)
      chip.usb.attach()
      expect(chip.runUntil(() => chip.usb.state === 'configured', 2500 * MS)).toBe(true)
      chip.usb.detach()
      chip.runFor((waitMs / 3) * MS)
      const pad = rig.plug(gamePad())
      expect(rig.served(pad)).toBe(true)
      chip.unplugPad()
    }
    expect(chip.usb.faults).toEqual([])
    expect(chip.watchdogResets).toBe(0)
  })

  test('takes VBUS back when the switch says that it is too much, and gives it again in time', () => {
    const rig = new PadRig()
    const pad = rig.plug(gamePad({ vices: { overloads: true } }))
    const { chip } = rig
    const given: boolean[] = []
    for (let k = 0; k < 500; k += 1) {
      chip.runFor(10 * MS)
      given.push(chip.givesVbus)
    }
    const times = given.filter((on, k) => on && !given[k - 1]).length
    expect(times).toBeGreaterThanOrEqual(2)
    expect(times).toBeLessThanOrEqual(4)
    expect(given.filter(Boolean).length).toBeLessThan(20)
    expect(pad.requests).toEqual([])
  })

  test('what the lines do while the controller becomes a host holds up nothing', () => {
    const watched = new PadRig()
    const { usb } = watched.chip.mcu
    const resets: number[] = []
    const reset = usb.reset.bind(usb)
    usb.reset = () => {
      resets.push(watched.chip.nowNs)
      reset()
    }
    watched.chip.runUntil(() => watched.chip.givesVbus, 1000 * MS, MS)
    watched.chip.runFor(10 * MS)
    // It was a device, and is a host from the last reset of the controller on.
    expect(resets.length).toBe(2)
    const becomesHostNs = resets[1] as number
    const start = flashWith([imageWith(gamePadLayout(1), gamePadLayout(2))])
    for (let earlierNs = 8; earlierNs <= 120; earlierNs += 8) {
      const chip = new Chip({ flash: start.slice() })
      chip.runTo(becomesHostNs - earlierNs)
      chip.mcu.usb.busReset()
      chip.runFor(110 * MS)
      expect([earlierNs, chip.watchdogResets]).toEqual([earlierNs, 0])
    }
  })

  test('a switch that is turned on against VBUS from outside is no chip that we would build', () => {
    const { chip } = new PadRig()
    chip.runFor(400 * MS)
    expect(chip.givesVbus).toBe(true)
    chip.usb.attach()
    const SIO_GPIO_OUT_XOR = 0xd000001c
    const toggle = (): void => chip.mcu.writeUint32(SIO_GPIO_OUT_XOR, 1 << 10)
    toggle()
    expect(toggle).toThrow(ChipTrap)
  })
})

test('an entry for one report descriptor is found by its CRC, whatever the pad says of its length', () => {
  const descriptor = gamePad().reportDescriptors?.get(0) ?? new Uint8Array()
  const rig = new PadRig([gamePadLayout(1, crc32(descriptor))])
  // Less than a packet is missing, or many: what came counts. Small packets end in either half of buffer control (RP2040-E4).
  for (const [packet0, told] of [
    [64, descriptor.length],
    [8, descriptor.length + 3],
    [16, 700],
  ] as const) {
    const pad = rig.plug(gamePad({ packet0 }, { toldDescriptorBytes: told }))
    expect(rig.served(pad)).toBe(true)
    rig.settle(pad)
    rig.report(pad, UP)
    expect(rig.chip.de9).toBe(UP_PRESSED)
    rig.chip.unplugPad()
    rig.chip.runFor(told * MS)
  }
})

test('two entries of one image are told apart', () => {
  const rig = new PadRig([gamePadLayout(7), gamePadLayout(1)])
  const pad = rig.plug(gamePad({ product: 7 }))
  expect(rig.served(pad)).toBe(true)
  rig.settle(pad)
  rig.report(pad, UP)
  expect(rig.chip.de9).toBe(UP_PRESSED)
})

/** Five hundred of them: host-fire.test.ts. */
test('a few pads with whatever may be wrong with one leave nothing behind', () => {
  const rig = new PadRig()
  fc.assert(
    fc.property(arbVisit, (one) => {
      expect(visit(rig, one)).toBeNull()
    }),
    { numRuns: 8, endOnFailure: true },
  )
})
