import { CYCLE_NS } from '../../../src/adapter/emulator/timeline.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { imageCrc } from '../../../src/profile/image-crc.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Chart, Phase } from '../../../src/port/chart.ts'
import type { Level } from '../../../src/port/pins.ts'
import { gamePad } from '../../reference/adapter/emulator/virtual-pads.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { LAYOUT_LIMITS } from '../../../src/pad/layout/schema.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { Chance } from './differential.ts'
import { PAD_BUTTONS, PadRig, REST, UP, gamePadLayout } from './pad-rig.ts'
import { Rig } from './rig.ts'

/** Figures of the firmware on the emulated chip, in cycles of 8 ns: the tests hold them to limits, the bench prints them. */

const every = (level: Level): Phase => ({ 1: level, 2: level, 3: level, 4: level, 6: level, 9: level })

/** As many rows as the reply engine has room for, in which every edge changes all six pins. */
function fullChart(after: 'stay' | 'start-again'): Chart {
  const cycle = { high: every('high'), low: every('low') }
  return after === 'stay'
    ? { cycles: Array.from({ length: 5 }, () => cycle), after: { kind: 'stay', reply: cycle } }
    : { cycles: Array.from({ length: 6 }, () => cycle), after: { kind: 'start-again' } }
}

/** From each of many edges of select, 0.5 to 16 µs apart, until all six pins are final. */
export function replyCycles(
  after: 'stay' | 'start-again',
  delaySteps: number,
  edges: number,
  seed: number,
): number[] {
  const profile = {
    ...BUILT_IN_PROFILES['six-button'],
    chart: fullChart(after),
    delayNs: delaySteps * CYCLE_NS,
    idleResetNs: 100_000,
  }
  const { chip } = Rig.with([encodeImage(profile)])
  const chance = new Chance(seed)
  return Array.from({ length: edges }, () => {
    chip.runFor(500 + CYCLE_NS * chance.below(2000))
    chip.clearEdges()
    const atNs = chip.nowNs
    chip.setSelect(chip.select === 'high' ? 'low' : 'high')
    chip.runFor(400)
    const [edge] = chip.edges
    // One edge and no more: six pins move as one.
    if (edge === undefined || chip.edges.length > 1)
      throw new Error(`${chip.edges.length} changes for one edge`)
    return (edge.atNs - atNs) / CYCLE_NS
  })
}

/** From the last rise until the reply starts afresh, less the idle reset and the deliberate delay that were asked for. */
export function idleResetNs(idleResetNs: number, delaySteps: number, resets: number, seed: number): number[] {
  const first = { high: every('high'), low: every('high') }
  const after = { high: every('low'), low: every('low') }
  const profile = {
    ...BUILT_IN_PROFILES['six-button'],
    chart: { cycles: [first], after: { kind: 'stay', reply: after } } as const,
    delayNs: delaySteps * CYCLE_NS,
    idleResetNs,
  }
  const { chip } = Rig.with([encodeImage(profile)])
  const chance = new Chance(seed)
  return Array.from({ length: resets }, () => {
    chip.setSelect('low')
    chip.runFor(1000 + CYCLE_NS * chance.below(200))
    chip.setSelect('high')
    const roseNs = chip.nowNs
    chip.runFor(600)
    // A fall does not count: only the rise does.
    if (chance.below(2) === 0) chip.setSelect('low')
    chip.runFor(600)
    chip.clearEdges()
    chip.runFor(idleResetNs + 1000)
    const [edge] = chip.edges
    if (edge === undefined || chip.edges.length > 1)
      throw new Error(`${chip.edges.length} changes for one reset`)
    return edge.atNs - roseNs - idleResetNs - profile.delayNs
  })
}

const INSTR_MEM = 0x50200048
const INSTR_MEM_END = INSTR_MEM + 4 * 32

/** From the store that changes the reply in force until the pins show it. */
export function inputCycles(changes: number, seed: number): number[] {
  const rig = Rig.with([encodeImage(BUILT_IN_PROFILES['three-button'])])
  rig.connect()
  rig.becomePad()
  const { chip } = rig
  const { mcu } = chip
  let storedNs: number[] = []
  const write = mcu.writeUint32.bind(mcu)
  mcu.writeUint32 = (address, value) => {
    const at = address >>> 0
    write(address, value)
    // The instant is the one at which the write has reached the register.
    if (at >= INSTR_MEM && at < INSTR_MEM_END) storedNs.push(chip.mcu.nowNs)
  }
  const chance = new Chance(seed)
  return Array.from({ length: changes }, (_, k) => {
    chip.setSelect(chance.below(2) === 0 ? 'low' : 'high')
    chip.runFor(2_000_000 + CYCLE_NS * chance.below(1000))
    chip.clearEdges()
    storedNs = []
    rig.hold(k % 2 === 0 ? 1 << 12 : 0)
    const [edge] = chip.edges
    if (edge === undefined || chip.edges.length > 1)
      throw new Error(`${chip.edges.length} changes for one press`)
    // Each phase that Up stands in is stored, some 30 cycles apart; the one that shows is the last before the change.
    const before = storedNs.filter((ns) => ns <= edge.atNs)
    if (before.length === 0) throw new Error('the pins changed before the store')
    return (edge.atNs - Math.max(...before)) / CYCLE_NS
  })
}

/** How long a bank takes to be written over an image that is there, over its wire time and what the flash itself takes. */
export function bankWriteRatio(before: Uint8Array, image: Uint8Array): number {
  const rig = Rig.with([before])
  rig.connect()
  const { chip } = rig
  const fromNs = chip.nowNs
  rig.flash(0, image, imageCrc(image))
  const { operations, timing } = chip.flash
  const flashNs = operations.reduce(
    (sum, { kind }) => sum + (kind === 'erase' ? timing.sectorEraseNs : timing.pageProgramNs),
    0,
  )
  // Full speed moves 19 packets of 64 bytes in 1 ms at best (USB 2.0 §5.8.4).
  const wireNs = (image.length / (19 * 64)) * 1_000_000
  return (chip.nowNs - fromNs) / (flashNs + wireNs)
}

/** A layout with as many extractors as one pad may have, all of them at work in every report. */
const FULL_LAYOUT: Layout = {
  ...gamePadLayout(),
  extractors: [
    ...gamePadLayout().extractors,
    ...Array.from({ length: LAYOUT_LIMITS.extractors - gamePadLayout().extractors.length }, (_, k) => ({
      kind: 'threshold' as const,
      control: PAD_BUTTONS[k % PAD_BUTTONS.length] as Control,
      field: { report: 0, bit: 40 + 31 * (k % 10), bits: 31, signed: true },
      press: 1000,
      release: 900,
    })),
  ],
}

/**
 * From the end of a report on the wire (of the transaction that brings it, handshake included) until the pins are final. The console
 * reads all the while but for the last moments; half of the reports press something, and half let it go.
 */
export function reportCycles(reports: number, seed: number): number[] {
  const intervalMs = 2
  const rig = new PadRig([FULL_LAYOUT])
  const { chip } = rig
  const pad = rig.plug(gamePad({}, { intervalMs }))
  if (!rig.served(pad)) throw new Error('the pad is not served')
  rig.settle(pad)
  const chance = new Chance(seed)
  let cameNs = 0
  chip.mcu.usb.asHost.onData = (atNs) => (cameNs = atNs)
  const bytes = new Uint8Array(64)
  return Array.from({ length: reports }, (_, k) => {
    bytes.set(k % 2 === 0 ? UP : REST)
    for (let at = 5; at < bytes.length; at += 1) bytes[at] = chance.below(256)
    const nextNs = (pad.polledNs.at(-1) as number) + intervalMs * 1_000_000
    const quietNs = nextNs - chance.below(20_000)
    while (chip.nowNs < quietNs - 40_000) {
      chip.runFor(500 + CYCLE_NS * chance.below(3000))
      chip.setSelect(chip.select === 'high' ? 'low' : 'high')
    }
    // Three rows of six tell whether Up is held, at either level.
    chip.setSelect('high')
    chip.runFor(2000)
    chip.clearEdges()
    pad.report(bytes)
    chip.runTo(nextNs + 300_000)
    const last = chip.edges.at(-1)
    if (last === undefined || pad.waiting > 0) throw new Error('the report did not reach the pins')
    return (last.atNs - cameNs) / CYCLE_NS
  })
}
