import { describe, expect, it } from 'vitest'
import { cpuCyclesNs, cpuHz } from '../port/cpu-cycles.ts'
import { frameHz, lineHz, masterHz, subcarrierHz } from '../../src/port/clocks.ts'

/**
 * Colour subcarriers: ITU-R BT.1700 (2005), and SMPTE 170M for the 525-line system. Both standards define the subcarrier by the
 * line: 525-line f = 455/2 × line, line = 4.5 MHz / 286; 625-line f = (1135/4 + 1/625) × line, line = 15 625 Hz.
 * The factors from subcarrier to master clock, CPU, line and frame are from memory (port table in DEVELOPERS.md).
 */
const LINE_525_HZ = 4_500_000 / 286
const LINE_625_HZ = 15_625

describe('subcarriers against the standards that define them', () => {
  it('525-line: 455/2 of a line rate of 4.5 MHz / 286', () => {
    expect(subcarrierHz('525-line')).toBeCloseTo((455 / 2) * LINE_525_HZ, 6)
    // As the standard writes it: 3.579545 MHz, give or take 10 Hz.
    expect(Math.abs(subcarrierHz('525-line') - 3_579_545)).toBeLessThan(10)
  })

  it('625-line: 1135/4 + 1/625 of a line rate of 15 625 Hz', () => {
    expect(subcarrierHz('625-line')).toBeCloseTo((1135 / 4 + 1 / 625) * LINE_625_HZ, 6)
    expect(subcarrierHz('625-line')).toBe(4_433_618.75)
  })
})

describe('line and frame rates against the published systems', () => {
  it('525-line: a line is half a subcarrier cycle longer than the standard’s, a frame is 262 lines instead of 262.5', () => {
    // 3420 master clocks are 228 subcarrier cycles; the standard's line is 227.5 of them.
    expect(subcarrierHz('525-line') / lineHz('525-line')).toBeCloseTo(228, 9)
    expect(lineHz('525-line') / LINE_525_HZ).toBeCloseTo(227.5 / 228, 9)
    const fieldHz = LINE_525_HZ / 262.5
    expect(fieldHz).toBeCloseTo(60 / 1.001, 9)
    expect(frameHz('525-line') / fieldHz).toBeCloseTo((227.5 / 228) * (262.5 / 262), 9)
  })

  it('625-line: a line is a little longer than 64 µs, a frame is 313 lines instead of 312.5', () => {
    expect(subcarrierHz('625-line') / lineHz('625-line')).toBeCloseTo(285, 9)
    expect(lineHz('625-line') / LINE_625_HZ).toBeCloseTo((1135 / 4 + 1 / 625) / 285, 9)
    expect(frameHz('625-line') / 50).toBeCloseTo(((1135 / 4 + 1 / 625) / 285) * (312.5 / 313), 9)
  })

  it('a receiver for 59.94 or 50 Hz takes both: less than one in a hundred away', () => {
    expect(Math.abs(frameHz('525-line') / (60 / 1.001) - 1)).toBeLessThan(0.01)
    expect(Math.abs(frameHz('625-line') / 50 - 1)).toBeLessThan(0.01)
  })
})

describe('the figures that the trade quotes (from memory)', () => {
  it('master and CPU clocks in MHz', () => {
    expect((masterHz('525-line') / 1e6).toFixed(6)).toBe('53.693182')
    expect((masterHz('625-line') / 1e6).toFixed(6)).toBe('53.203425')
    expect((cpuHz('525-line') / 1e6).toFixed(6)).toBe('7.670455')
    expect((cpuHz('625-line') / 1e6).toFixed(6)).toBe('7.600489')
  })

  it('frame rates in Hz', () => {
    expect(frameHz('525-line').toFixed(4)).toBe('59.9228')
    expect(frameHz('625-line').toFixed(4)).toBe('49.7015')
  })

  it('twenty CPU cycles are 2.6 µs, 172 are 22 µs', () => {
    expect((cpuCyclesNs('525-line', 20) / 1000).toFixed(1)).toBe('2.6')
    expect((cpuCyclesNs('525-line', 172) / 1000).toFixed(0)).toBe('22')
  })
})
