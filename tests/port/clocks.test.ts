import { expect, it } from 'vitest'
import { VIDEO_STANDARDS, frameHz, frameNs, lineHz, masterHz } from '../../src/port/clocks.ts'
import { cpuCyclesNs, cpuHz } from './cpu-cycles.ts'

it('a frame in ns is the frame rate turned round', () => {
  for (const standard of VIDEO_STANDARDS) expect(frameNs(standard)).toBe(Math.round(1e9 / frameHz(standard)))
  // Master clocks in a frame over the master clock, in whole numbers of the defining fractions.
  expect(frameNs('525-line')).toBe(Math.round((3420 * 262 * 88 * 1_000) / (315 * 15)))
  expect(frameNs('625-line')).toBe(Math.round((3420 * 313 * 1e9) / (12 * 4_433_618.75)))
})

it('CPU cycles add up without drift: a frame of them is a frame', () => {
  for (const standard of VIDEO_STANDARDS) {
    const cyclesPerFrame = cpuHz(standard) / frameHz(standard)
    expect(cpuCyclesNs(standard, cyclesPerFrame)).toBe(frameNs(standard))
    expect(cpuCyclesNs(standard, 0)).toBe(0)
  }
})

it('all rates of a standard hang on one clock', () => {
  for (const standard of VIDEO_STANDARDS) {
    expect(masterHz(standard) / cpuHz(standard)).toBeCloseTo(7, 9)
    expect(masterHz(standard) / lineHz(standard)).toBeCloseTo(3420, 6)
  }
})
