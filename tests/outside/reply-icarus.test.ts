import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { expect, it } from 'vitest'
import { replyTo } from '../../src/bench/reply.ts'
import { INPUTS, PINS } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readVcd } from '../title/vcd/read-vcd.ts'
import { writeVcd } from '../../src/title/vcd/write.ts'
import { describeWith, findTool } from '../tools.ts'

/**
 * A six-button pad in Verilog, simulated by Icarus Verilog, against our reply to the same select line.
 * Sources: the multiplexers follow the function table of the 74HC157 datasheets (enable high: low; select low: input 0;
 * select high: input 1); the six-button replies, the count and the idle reset are common practice, no source.
 */

const six = BUILT_IN_PROFILES['six-button']
/** One in two pads starts again after its fourth cycle. */
const again: Profile = { ...six, chart: { ...six.chart, after: { kind: 'start-again' } } }
const PADS = 300

const PAD = `
module hc157(input enable_bar, input s, input [3:0] i0, input [3:0] i1, output [3:0] y);
  assign y = enable_bar ? 4'b0000 : s ? i1 : i0;
endmodule

// held: one bit an input, 1 is held, the first input in bit 0. The lines of the buttons are active low.
module pad #(parameter AGAIN = 0) (input select, input [11:0] held, output pin1, pin2, pin3, pin4, pin6, pin9);
  wire up, down, left, right, a, b, c, start, x, y, z, mode;
  assign {mode, z, y, x, start, c, b, a, right, left, down, up} = ~held;

  // Nobody drives the line: the pull-up does.
  wire line;
  pullup (line);
  assign line = select;

  // A retriggerable one-shot: the alarm of a rise is heard unless another rise came since.
  integer rises = 0, rung = 0, heard = 0;
  reg before;
  always @(line) begin
    if (before === 1'b0 && line === 1'b1) begin
      rises = rises + 1;
      rung = rung + 1;
      heard <= #${six.idleResetNs} rung;
    end
    before = line;
  end
  always @(heard) if (heard == rung) rises = 0;

  wire [31:0] n = AGAIN ? rises % 4 : rises;
  wire extra = n == 3;
  wire says_six = n == 2;
  wire known = line !== 1'bx;
  wire [3:0] directions, high, low, first, second;
  // Pins 1 2 3 4: what stands while select is low, and while it is high, then the choice between the two.
  hc157 lows(says_six, extra, {up, down, 1'b0, 1'b0}, 4'b1111, low);
  hc157 highs(1'b0, extra, {up, down, left, right}, {z, y, x, mode}, high);
  hc157 choice(1'b0, line, low, high, first);
  hc157 buttons(1'b0, line, {a, start, 2'b00}, {b, c, 2'b00}, second);
  assign {pin1, pin2, pin3, pin4} = known ? first : 4'bxxxx;
  assign {pin6, pin9} = known ? second[3:2] : 2'bxx;
endmodule
`

type Level = '0' | '1' | 'z'
interface Stimulus {
  readonly held: number
  /** Time from the step before, in ns, at least 1 but for the first. */
  readonly steps: readonly { readonly waitNs: number; readonly level: Level }[]
}

/** Steps of select bunched as in reads and by a hair around the idle reset, but never a rise at its very instant. */
const arbStimulus: fc.Arbitrary<Stimulus> = fc
  .record({
    held: fc.nat(2 ** INPUTS.length - 1),
    openingNs: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 5_000 })),
    opening: fc.constantFrom<Level>('0', '1', 'z'),
    moves: fc.array(
      fc.record({
        waitNs: fc.oneof(
          { weight: 8, arbitrary: fc.integer({ min: 1, max: 9_000 }) },
          { weight: 1, arbitrary: fc.integer({ min: -3, max: 3 }).map((off) => six.idleResetNs + off) },
          { weight: 1, arbitrary: fc.integer({ min: 1, max: 3 * six.idleResetNs }) },
        ),
        // Mostly to and fro, as a read does it; now and then let go, or written again as it was.
        kind: fc.constantFrom('other', 'other', 'other', 'other', 'other', 'let go', 'same'),
      }),
      { minLength: 4, maxLength: 40 },
    ),
  })
  .map(({ held, openingNs, opening, moves }) => {
    const steps: { waitNs: number; level: Level }[] = [{ waitNs: openingNs, level: opening }]
    let level = opening
    let nowNs = openingNs
    let lastRiseNs = -Infinity
    for (const { waitNs: wished, kind } of moves) {
      const next: Level = kind === 'same' ? level : level === '0' ? (kind === 'let go' ? 'z' : '1') : '0'
      const isRise = level === '0' && next !== '0'
      // The order of events at one instant is not defined in Verilog.
      const waitNs = isRise && nowNs + wished === lastRiseNs + six.idleResetNs ? wished + 1 : wished
      nowNs += waitNs
      if (isRise) lastRiseNs = nowNs
      level = next
      steps.push({ waitNs, level })
    }
    return { held, steps }
  })

/** For each wire by its path, what it shows from when on: only what lasts into the next nanosecond. */
type Waves = ReadonlyMap<string, readonly (readonly [atNs: number, value: string])[]>

/** A plain reader of dumps in ns, for one-bit wires only; shares nothing with ours. */
function wavesOf(dump: string): Waves {
  const wires = new Map<string, [number, string][]>()
  const byCode = new Map<string, [number, string][]>()
  const scopes: string[] = []
  let nowNs = 0
  for (const line of dump.split('\n')) {
    const scope = /^\$scope \w+ (\S+) \$end/.exec(line)
    const wire = /^\$var \w+ 1 (\S+) (\S+) \$end/.exec(line)
    if (scope !== null) scopes.push(scope[1] as string)
    else if (line.startsWith('$upscope')) scopes.pop()
    else if (wire !== null) {
      const [, code = '', name = ''] = wire
      const wave = byCode.get(code) ?? []
      byCode.set(code, wave)
      wires.set([...scopes, name].join('.'), wave)
    } else if (line.startsWith('#')) nowNs = Number(line.slice(1))
    else if (/^[01xz]/.test(line)) {
      const wave = byCode.get(line.slice(1))
      if (wave === undefined) continue
      if (wave[wave.length - 1]?.[0] === nowNs) wave.pop()
      if (wave[wave.length - 1]?.[1] !== line[0]) wave.push([nowNs, line[0] as string])
    }
  }
  return wires
}

describeWith('the reply to select, as a pad in Verilog gives it', ['iverilog', 'vvp'], () => {
  it(`is the same on every pin at every time, for ${PADS} select lines`, () => {
    const stimuli = fc.sample(arbStimulus, { numRuns: PADS, seed: 74_157 })
    const longestNs = Math.max(
      ...stimuli.map(({ steps }) => steps.reduce((sum, { waitNs }) => sum + waitNs, 0)),
    )
    const bench = stimuli.map(({ held, steps }, k) => {
      const moves = steps.map(
        ({ waitNs, level }) => `${waitNs > 0 ? `#${waitNs} ` : ''}select = 1'b${level};`,
      )
      return `module bench${k};
  reg select;
  wire pin1, pin2, pin3, pin4, pin6, pin9;
  pad #(.AGAIN(${k % 2})) pad(select, 12'd${held}, pin1, pin2, pin3, pin4, pin6, pin9);
  initial begin ${moves.join(' ')} end
  initial $dumpvars(1, bench${k});
endmodule`
    })
    const endNs = longestNs + 2 * six.idleResetNs
    const source = `\`timescale 1ns/1ns\n${PAD}${bench.join('\n')}
module run;
  initial begin $dumpfile("pads.vcd"); #${endNs} $finish; end
endmodule
`
    const folder = mkdtempSync(join(tmpdir(), 'ninepin-icarus-'))
    try {
      writeFileSync(join(folder, 'pads.v'), source)
      const tops = ['run', ...stimuli.map((_, k) => `bench${k}`)].flatMap((name) => ['-s', name])
      execFileSync(findTool('iverilog') as string, ['-g2005', '-o', 'pads.vvp', ...tops, 'pads.v'], {
        cwd: folder,
      })
      execFileSync(findTool('vvp') as string, ['-n', 'pads.vvp'], { cwd: folder })
      const bytes = readFileSync(join(folder, 'pads.vcd'))
      const simulated = wavesOf(bytes.toString('latin1'))

      const replies = new Set<string>()
      let resets = 0
      stimuli.forEach(({ held }, k) => {
        const capture = readVcd(bytes, { signal: `bench${k}.select` })
        if (!capture.ok) throw new Error(capture.error.message)
        const inputs = INPUTS.filter((_, bit) => (held >> bit) & 1)
        const line = { ...capture.value, levels: capture.value.values }
        const ours = wavesOf(writeVcd(replyTo(k % 2 ? again : six, inputs, line)))
        for (const pin of PINS) {
          const theirs = simulated.get(`bench${k}.pin${pin}`)
          expect(theirs?.length, `bench${k}.pin${pin}`).toBeGreaterThan(0)
          expect(ours.get(`port.pin${pin}`), `bench${k}.pin${pin}`).toEqual(theirs)
          replies.add(JSON.stringify(theirs))
        }
        const stamps = new Set(capture.value.timesNs)
        if (
          PINS.some((pin) =>
            simulated.get(`bench${k}.pin${pin}`)?.some(([atNs]) => atNs > 0 && !stamps.has(atNs)),
          )
        )
          resets++
      })
      // The stimuli show something: replies of many kinds, and idle resets that are seen on the pins by themselves.
      expect(replies.size).toBeGreaterThan(PADS)
      expect(resets).toBeGreaterThan(30)
    } finally {
      rmSync(folder, { recursive: true })
    }
  })
})
