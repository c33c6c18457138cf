import { describe, expect, test } from 'vitest'
import { CYCLE_NS } from '../../../src/adapter/emulator/timeline.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Chart, Phase } from '../../../src/port/chart.ts'
import { ALL_HIGH } from '../../../src/port/pins.ts'
import { Chance } from './differential.ts'
import { idleResetNs } from './measure.ts'
import { Rig } from './rig.ts'

const MS = 1_000_000

/** Pins 1 2 3 carry the number of rises, pin 4 the level of select: what answers can be read off. */
const counting: Chart = {
  cycles: Array.from({ length: 6 }, (_, rises) => ({
    high: marked(rises, 'high'),
    low: marked(rises, 'low'),
  })),
  after: { kind: 'start-again' },
}
function marked(rises: number, level: 'low' | 'high'): Phase {
  const bit = (k: number) => ((rises >> k) & 1 ? 'high' : 'low')
  return { 1: bit(0), 2: bit(1), 3: bit(2), 4: level, 6: 'high', 9: 'high' }
}
const risesOn = (pins: number): number => pins & 7
const levelOn = (pins: number): string => (pins & 8 ? 'high' : 'low')

describe('the idle reset on the emulated chip', () => {
  test('comes within the published time, whatever select does and whatever the delay', () => {
    const rig = Rig.with([])
    const { idleResetToleranceMinNs, idleResetToleranceMaxNs } = rig.connect()
    for (const [asked, delay] of [
      [10_000, 0],
      [10_007, 3],
      [12_345, 7],
      [100_000, 1],
      [1_100_000, 0],
      [1_800_000, 5],
    ] as const) {
      for (const lateNs of idleResetNs(asked, delay, 40, asked)) {
        expect(lateNs).toBeGreaterThanOrEqual(idleResetToleranceMinNs)
        expect(lateNs).toBeLessThanOrEqual(idleResetToleranceMaxNs)
      }
    }
  })

  test('a rise near the reset follows either history, never a third: 1 500 trials', () => {
    const IDLE_NS = 20_000
    const profile = { ...BUILT_IN_PROFILES['six-button'], chart: counting, idleResetNs: IDLE_NS }
    const { chip } = Rig.with([encodeImage(profile)])
    const chance = new Chance(11)
    const seen = { before: 0, after: 0 }
    for (let trial = 0; trial < 1500; trial++) {
      const rises = 1 + chance.below(4)
      for (let k = 0; k < rises; k++) {
        chip.setSelect('low')
        chip.runFor(600 + CYCLE_NS * chance.below(100))
        chip.setSelect('high')
        chip.runFor(600)
      }
      const dueNs = chip.nowNs - 600 + IDLE_NS
      chip.setSelect('low')
      // Within 60 cycles of its time, on either side.
      chip.runTo(dueNs + CYCLE_NS * (chance.below(121) - 60))
      chip.setSelect('high')
      chip.runFor(600)
      const count = risesOn(chip.de9)
      expect(levelOn(chip.de9)).toBe('high')
      expect([1, rises + 1]).toContain(count)
      seen[count === 1 && rises > 0 ? 'after' : 'before'] += 1
      // And the next reset is counted from that rise.
      chip.runFor(IDLE_NS - 1000)
      expect(risesOn(chip.de9)).toBe(count)
      chip.runFor(1000)
      expect(risesOn(chip.de9)).toBe(0)
    }
    expect(seen.before).toBeGreaterThan(300)
    expect(seen.after).toBeGreaterThan(300)
  })

  test('a fall near the reset never leaves the wrong level standing', () => {
    const IDLE_NS = 20_000
    const profile = { ...BUILT_IN_PROFILES['six-button'], chart: counting, idleResetNs: IDLE_NS }
    const { chip } = Rig.with([encodeImage(profile)])
    for (let off = -60; off <= 60; off++) {
      chip.setSelect('low')
      chip.runFor(700)
      chip.setSelect('high')
      chip.runTo(chip.nowNs + IDLE_NS + CYCLE_NS * off)
      chip.setSelect('low')
      chip.runFor(800)
      expect([risesOn(chip.de9), levelOn(chip.de9)]).toEqual([0, 'low'])
    }
  })

  test('goes on when a channel has done all its transfers: the other takes over', () => {
    const IDLE_NS = 20_000
    const profile = { ...BUILT_IN_PROFILES['six-button'], chart: counting, idleResetNs: IDLE_NS }
    const { chip } = Rig.with([encodeImage(profile)])
    // RP2040 datasheet §2.5.7: CHAN_ABORT, and the alias of channel 0 that sets its count and starts it.
    chip.mcu.writeUint32(0x50000444, 1)
    chip.runFor(1000)
    chip.mcu.writeUint32(0x5000001c, 2)
    for (let reset = 0; reset < 8; reset++) {
      chip.setSelect('low')
      chip.runFor(1000)
      chip.setSelect('high')
      chip.runFor(1000)
      expect(risesOn(chip.de9)).toBe(1)
      chip.runFor(IDLE_NS)
      expect(risesOn(chip.de9)).toBe(0)
    }
  })

  test('the monitor counts rises from the last reset', () => {
    const profile = { ...BUILT_IN_PROFILES['six-button'], idleResetNs: 50 * MS }
    const rig = Rig.with([encodeImage(profile)])
    rig.connect()
    rig.ask({ kind: 'monitor', on: true })
    for (let k = 0; k < 9; k++) {
      rig.chip.setSelect('low')
      rig.chip.runFor(5000)
      rig.chip.setSelect('high')
      rig.chip.runFor(5000)
    }
    const rises: number[] = []
    const heard = rig.chip.usb.onBytes
    rig.chip.usb.onBytes = (bytes) => {
      rises.push(bytes.length)
      heard(bytes)
    }
    rig.chip.runFor(20 * MS)
    expect(rises.length).toBeGreaterThan(0)
    expect(rig.events.at(-1)?.rises).toBe(9)
    rig.chip.runFor(60 * MS)
    expect(rig.events.at(-1)?.rises).toBe(0)
  })
})

describe('the watchdog on the emulated chip', () => {
  /** `b .` on its own: a program that has lost its way. */
  const HANG = 0xe7fe
  const HANG_AT = 0x20030000

  test('resets a hung chip: no line is low meanwhile that is not the last reply, all are high in the reset, and it answers again', () => {
    const { chip } = Rig.with([encodeImage(BUILT_IN_PROFILES['six-button'])])
    chip.setSelect('low')
    chip.runFor(10 * MS)
    const reply = chip.de9
    chip.mcu.writeUint16(HANG_AT, HANG)
    chip.mcu.core.PM = true
    chip.mcu.core.waiting = false
    chip.mcu.core.PC = HANG_AT
    chip.clearEdges()
    expect(chip.runUntil(() => chip.watchdogResets > 0, 250 * MS, 10_000)).toBe(true)
    chip.runFor(30 * MS)
    // All high with the reset, then the first cycle's low again; nothing else.
    expect(chip.edges.map(({ pins }) => pins)).toEqual([ALL_HIGH, reply])
    // It says so by its light: eight flashes a second.
    let flashes = 0
    let was = chip.ledIsOn
    for (let k = 0; k < 200; k++) {
      chip.runFor(5 * MS)
      if (chip.ledIsOn && !was) flashes++
      was = chip.ledIsOn
    }
    expect(flashes).toBe(8)
  })

  test('a fault turns the line buffers off at once', () => {
    const { chip } = Rig.with([encodeImage(BUILT_IN_PROFILES['six-button'])])
    chip.setSelect('low')
    chip.runFor(10 * MS)
    expect(chip.de9).not.toBe(ALL_HIGH)
    // Whatever interrupt has no handler goes where faults go.
    const vector = chip.mcu.readUint32(0x20000000 + 4 * 3)
    chip.mcu.core.waiting = false
    chip.mcu.core.PC = vector & ~1
    chip.runFor(2000)
    expect(chip.de9).toBe(ALL_HIGH)
    expect(chip.runUntil(() => chip.watchdogResets > 0, 250 * MS, 10_000)).toBe(true)
  })

  test('is fed while a host never stops talking, and the link answers afterwards', () => {
    const rig = Rig.with([])
    rig.connect()
    // More than full speed carries in 150 ms; zeros are the shortest of all frames.
    rig.chip.usb.send(new Uint8Array(150 * 19 * 64))
    rig.chip.runFor(150 * MS)
    expect(rig.chip.usb.unsent).toBeGreaterThan(0)
    expect(rig.chip.runUntil(() => rig.chip.usb.unsent === 0, 2000 * MS)).toBe(true)
    expect(rig.ask<'status'>({ kind: 'status' }).active).toBe(null)
    expect(rig.chip.watchdogResets).toBe(0)
  })
})
