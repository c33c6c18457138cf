import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { expect, it } from 'vitest'
import { CABLE_NS } from '../../src/port/cable.ts'
import type { RangeNs } from '../../src/port/range.ts'
import { describeWith, findTool } from '../tools.ts'

/**
 * Source: ngspice, a circuit simulator. From memory: a cable of many wires has 50 to 100 pF and 250 to 700 nH a metre, and the driver of a
 * console's select about 20 Ω. What drives a data line and what loads it stand in `cable.ts`.
 */

interface Line {
  /** What drives it, with the resistor in series. */
  readonly sourceOhm: number
  readonly lengthM: number
  readonly pfPerM: number
  readonly nhPerM: number
}

const DRIVER_OHM = 20
const LOAD_PF = 15
const LOAD_OHM = 10_000
const SUPPLY_V = 5
/** Where a TTL input takes a line for low for certain. */
const LOW_V = 0.8
/** And for high. */
const HIGH_V = 2

/** The cable in so many pieces; twice as many change the times by less than 1 ns. */
const PIECES = 12

/** A line that is driven low, and one that is driven high, each with a cable and the same load at its far end. */
function netlist({ sourceOhm, lengthM, pfPerM, nhPerM }: Line): string {
  const pieces = (name: string) =>
    Array.from(
      { length: PIECES },
      (_, k) =>
        `L${name}${k} ${name}${k} ${name}${k + 1} ${(lengthM * nhPerM) / PIECES}n
C${name}${k} ${name}${k + 1} 0 ${(lengthM * pfPerM) / PIECES}p`,
    ).join('\n')
  const line = (name: string, fromV: number, toV: number) => `
V${name} source${name} 0 PWL(0 ${fromV} 1n ${fromV} 1.01n ${toV})
R${name} source${name} ${name}0 ${sourceOhm}
${pieces(name)}
Cload${name} ${name}${PIECES} 0 ${LOAD_PF}p
Rload${name} ${name}${PIECES} supply ${LOAD_OHM}`
  return `* two lines through a cable
Vsupply supply 0 ${SUPPLY_V}
${line('fall', SUPPLY_V, 0)}
${line('rise', 0, SUPPLY_V)}
.tran 0.04n 160n 0 0.04n
.meas tran low WHEN v(fall${PIECES})=${LOW_V} FALL=1
.meas tran settledlow WHEN v(fall${PIECES})=${LOW_V} CROSS=LAST
.meas tran high WHEN v(rise${PIECES})=${HIGH_V} RISE=1
.end
`
}

/** From the edge at one end to its threshold at the other, in ns. */
interface Arrives {
  readonly low: number
  /** With what comes back from the far end, where no Schmitt input sorts it out. */
  readonly settledLow: number
  readonly high: number
}

function simulated(line: Line): Arrives {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-cable-'))
  try {
    writeFileSync(join(folder, 'cable.cir'), netlist(line))
    const told = execFileSync(findTool('ngspice') as string, ['-b', 'cable.cir'], {
      cwd: folder,
      stdio: 'pipe',
      encoding: 'latin1',
    })
    const ns = (name: string) => Number(new RegExp(`^${name}\\s*=\\s*(\\S+)`, 'm').exec(told)?.[1]) * 1e9 - 1
    return { low: ns('low'), settledLow: ns('settledlow'), high: ns('high') }
  } finally {
    rmSync(folder, { recursive: true })
  }
}

/** What a cable adds to a reply: select on its way to the adapter, then a data line on its way back. */
function addedNs(line: Line): RangeNs {
  const select = simulated({ ...line, sourceOhm: DRIVER_OHM })
  const data = simulated(line)
  return {
    minNs: Math.min(select.low, select.high) + Math.min(data.low, data.high),
    maxNs: Math.max(select.low, select.high) + Math.max(data.settledLow, data.high),
  }
}

const arbLine = (lengthM: fc.Arbitrary<number>): fc.Arbitrary<Line> =>
  fc.record({
    sourceOhm: fc.integer({ min: 100, max: 150 }).map((seriesOhm) => DRIVER_OHM + seriesOhm),
    lengthM,
    pfPerM: fc.integer({ min: 50, max: 100 }),
    nhPerM: fc.integer({ min: 250, max: 700 }),
  })

describeWith('what a cable adds to a reply, as ngspice has it', ['ngspice'], () => {
  const isWithin = (line: Line, { minNs, maxNs }: RangeNs) => {
    const added = addedNs(line)
    expect(added.minNs, JSON.stringify({ line, added })).toBeGreaterThanOrEqual(minNs)
    expect(added.maxNs, JSON.stringify({ line, added })).toBeLessThanOrEqual(maxNs)
    return added
  }

  it('a plug of 0.1 m and less', () => {
    const lengths = fc.integer({ min: 10, max: 100 }).map((mm) => mm / 1_000)
    for (const line of fc.sample(arbLine(lengths), { numRuns: 12, seed: 1 })) isWithin(line, CABLE_NS.short)
    const slowest = { sourceOhm: DRIVER_OHM + 150, lengthM: 0.1, pfPerM: 100, nhPerM: 250 }
    const { maxNs } = isWithin(slowest, CABLE_NS.short)
    // Nothing is stated far beyond what there is.
    expect(maxNs).toBeGreaterThan(CABLE_NS.short.maxNs - 3)
  })

  it('a cable of 1.5 m', () => {
    for (const line of fc.sample(arbLine(fc.constant(1.5)), { numRuns: 12, seed: 2 }))
      isWithin(line, CABLE_NS.long)
    const slow = { sourceOhm: DRIVER_OHM + 150, lengthM: 1.5, pfPerM: 100, nhPerM: 550 }
    const { maxNs } = isWithin(slow, CABLE_NS.long)
    expect(maxNs).toBeGreaterThan(CABLE_NS.long.maxNs - 10)
  })

  it('330 Ω in series is too much for it', () => {
    const line = { sourceOhm: DRIVER_OHM + 330, lengthM: 1.5, pfPerM: 100, nhPerM: 550 }
    expect(addedNs(line).maxNs).toBeGreaterThan(CABLE_NS.long.maxNs)
  })
})
