import { CYCLE_NS } from '../../../src/adapter/emulator/timeline.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { imageCrc } from '../../../src/profile/image-crc.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Chart, Phase } from '../../../src/port/chart.ts'
import type { Level } from '../../../src/port/pins.ts'
import { Chance } from './differential.ts'
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
