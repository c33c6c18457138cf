import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { expect, it } from 'vitest'
import { riseNs } from '../../src/port/rise.ts'
import type { ReleasedLine } from '../../src/port/rise.ts'
import { describeWith, findTool } from '../tools.ts'

/** Source: ngspice, a circuit simulator: a switch that holds the line at ground opens, and the time is taken at the threshold. */

/** Lines with time constants of 1 µs and more, so that rounding to whole nanoseconds is well under 1 %. */
const arbLine: fc.Arbitrary<ReleasedLine> = fc
  .record({
    pullUpOhm: fc.integer({ min: 1_000, max: 100_000 }),
    capacitancePf: fc.integer({ min: 10, max: 2_000 }),
    supplyV: fc.constantFrom(3.3, 4.5, 5, 5.5),
    share: fc.integer({ min: 10, max: 90 }),
  })
  .filter(({ pullUpOhm, capacitancePf }) => pullUpOhm * capacitancePf >= 1_000_000)
  .map(({ share, ...line }) => ({ ...line, thresholdV: (share / 100) * line.supplyV }))

/** The netlist: released after one time constant, watched over six in steps of a thousandth. */
function netlist({ pullUpOhm, capacitancePf, thresholdV, supplyV }: ReleasedLine): string {
  const timeConstantS = pullUpOhm * capacitancePf * 1e-12
  return `* a select line that is let go
Vsupply supply 0 ${supplyV}
Rpull supply line ${pullUpOhm}
Cload line 0 ${capacitancePf}p
Vhold hold 0 PWL(0 1 ${timeConstantS} 1 ${timeConstantS * 1.0001} 0)
Sdriver line 0 hold 0 driver
.model driver SW(VT=0.5 VH=0 RON=0.01 ROFF=1e12)
.tran ${timeConstantS / 1000} ${timeConstantS * 6} 0 ${timeConstantS / 1000}
.meas tran released WHEN v(hold)=0.5 FALL=1
.meas tran high WHEN v(line)=${thresholdV} RISE=1
.end
`
}

/** The time from the release to the threshold, in ns, as ngspice has it. */
function simulatedNs(line: ReleasedLine): number {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-rise-'))
  try {
    writeFileSync(join(folder, 'line.cir'), netlist(line))
    const told = execFileSync(findTool('ngspice') as string, ['-b', 'line.cir'], {
      cwd: folder,
      stdio: 'pipe',
      encoding: 'latin1',
    })
    const measured = (name: string) => Number(new RegExp(`^${name}\\s*=\\s*(\\S+)`, 'm').exec(told)?.[1])
    return (measured('high') - measured('released')) * 1e9
  } finally {
    rmSync(folder, { recursive: true })
  }
}

describeWith('a released line rising by its pull-up, as ngspice has it', ['ngspice'], () => {
  const within = (line: ReleasedLine) => {
    const theirsNs = simulatedNs(line)
    expect(Math.abs(riseNs(line) / theirsNs - 1), JSON.stringify({ line, theirsNs })).toBeLessThan(0.01)
  }

  it('10 kΩ and 150 pF to 3 V of 5 V (1.4 µs in the port table)', () => {
    within({ pullUpOhm: 10_000, capacitancePf: 150, thresholdV: 3, supplyV: 5 })
  })

  it('random values, within 1 %', () => {
    for (const line of fc.sample(arbLine, { numRuns: 30, seed: 10_150 })) within(line)
  })
})
