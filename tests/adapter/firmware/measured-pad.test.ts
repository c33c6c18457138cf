import { expect, it } from 'vitest'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { measured } from '../../title/replies/measure.ts'
import { dumpLines, PIN_NAMES } from '../../title/replies/pad-lines.ts'
import type { LineChange } from '../../title/replies/pad-lines.ts'
import { Rig } from './rig.ts'

const IDLE_NS = 1_500_000
/** From the last rise of a read to the first of the next: on both sides of the idle reset. */
const RESTS_NS = [700_000, 1_480_000, 1_520_000, 4_000_000]
const PHASE_NS = 3_000
const CYCLES = 4

it('the adapter itself, its firmware on the emulated chip, is measured as the pad that its profile makes of it', async () => {
  const { chip } = Rig.with([encodeImage({ ...BUILT_IN_PROFILES['six-button'], idleResetNs: IDLE_NS })])
  const beginsNs = chip.nowNs
  chip.clearEdges()
  const pins = new Map<string, LineChange[]>(
    PIN_NAMES.map((pin, k) => [`pin${pin}`, [{ atNs: 0, isHigh: ((chip.de9 >> k) & 1) === 1 }]]),
  )
  const select: LineChange[] = [{ atNs: 0, isHigh: true }]
  const write = (level: 'low' | 'high'): void => {
    chip.setSelect(level)
    select.push({ atNs: chip.nowNs - beginsNs, isHigh: level === 'high' })
    chip.runFor(PHASE_NS)
  }
  for (const restNs of [4_000_000, ...RESTS_NS, ...RESTS_NS, ...RESTS_NS]) {
    // A rest counts from rise to rise, and each read opens with a fall.
    chip.runFor(restNs - 2 * PHASE_NS)
    for (let cycle = 0; cycle < CYCLES; cycle++) {
      write('low')
      write('high')
    }
  }
  chip.runFor(200_000)
  for (const { atNs, pins: bits } of chip.edges)
    [...pins.values()].forEach((changes, k) => {
      const isHigh = ((bits >> k) & 1) === 1
      if (changes.at(-1)?.isHigh !== isHigh) changes.push({ atNs: atNs - beginsNs, isHigh })
    })

  const all = await measured(dumpLines(new Map([['select', select], ...pins]), chip.nowNs - beginsNs))
  expect(all.kinds).toEqual(['six-buttons-stay'])
  // Answers come 4 to 6 cycles of 8 ns after the edge (tests/adapter/firmware/reply.test.ts), and times are known to such a cycle.
  expect(all.stepNs).toBe(8)
  expect(all.reply).toMatchObject({ minNs: 24, maxNs: 56 })
  expect(all.idleReset).toMatchObject({ contradicts: false })
  expect(all.idleReset?.minNs).toBeGreaterThan(1_479_000)
  expect(all.idleReset?.minNs).toBeLessThanOrEqual(IDLE_NS)
  expect(all.idleReset?.maxNs).toBeGreaterThanOrEqual(IDLE_NS)
  expect(all.idleReset?.maxNs).toBeLessThan(1_521_000)
  expect(all.held.every(({ held }) => held === 0)).toBe(true)
})
