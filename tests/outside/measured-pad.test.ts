import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { simulate } from '../title/infer/simulate.ts'
import { measured } from '../title/replies/measure.ts'
import { describeWith, findTool } from '../tools.ts'

/**
 * Pads in Verilog, simulated and dumped by Icarus Verilog, and sampled by sigrok-cli: neither the pad, nor the dump, nor the session is ours.
 * Sources: Icarus Verilog (Debian package iverilog), sigrok-cli; the pads of `verilog/` have the table of DEVELOPERS.md (common practice, no source).
 */

let folder = ''
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'ninepin-measured-'))))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const run = (tool: string, ...args: string[]): string =>
  execFileSync(findTool(tool) as string, args, { encoding: 'utf8', cwd: folder })

const VERILOG = ['hc157', 'three-button-pad', 'six-button-pad', 'six-button-reply'].map((name) =>
  resolve('tests/outside/verilog', `${name}.v`),
)

interface Bench {
  /** The pad, with its ports `power`, `select`, `held`, `idle_ns` and `pins`. */
  readonly pad: string
  readonly idleNs: number
  /** Bits as in the pads: up down left right a b c start x y z mode. */
  readonly held: number
  /** Of a pad that starts again after its fourth cycle, a read of four looks like one after a reset. */
  readonly cycles?: number
}

/** Two reads a frame, 0.9 to 2.6 ms apart. */
function edges(cycles: number): { readonly edgesNs: readonly number[]; readonly endNs: number } {
  const edgesNs: number[] = []
  let fromNs = 0
  for (const apartNs of [900_000, 1_200_000, 1_500_000, 1_900_000, 2_600_000]) {
    const { timesNs, endNs } = simulate(
      {
        standard: '525-line',
        offsetsNs: [200_000, 200_000 + apartNs],
        cycles,
        spacingNs: { minNs: 3_000, maxNs: 3_700 },
        rest: 'high',
        jitterNs: 9_000,
      },
      { frames: 6, seed: apartNs },
    )
    for (const ns of timesNs.slice(1)) edgesNs.push(fromNs + ns)
    fromNs += endNs
  }
  return { edgesNs, endNs: fromNs }
}

/** A dump of the pad with select before it. */
function dumpOf({ pad, idleNs, held, cycles = 4 }: Bench): Uint8Array {
  const { edgesNs, endNs } = edges(cycles)
  const waits = edgesNs.map((ns, k) => `#${ns - (edgesNs[k - 1] ?? 0)} select = ${k % 2};`)
  const source = `\`timescale 1ns/1ns
module port;
  reg select = 1, power = 0;
  wire [5:0] pins;
  wire pin1 = pins[0], pin2 = pins[1], pin3 = pins[2], pin4 = pins[3], pin6 = pins[4], pin9 = pins[5];
  ${pad}
  wire [11:0] held = ${held};
  wire [31:0] idle_ns = ${idleNs};
  initial begin
    $dumpfile("pad.vcd");
    $dumpvars(0, select, pin1, pin2, pin3, pin4, pin6, pin9);
    power = 1;
    ${waits.join('\n    ')}
    #${endNs - (edgesNs.at(-1) ?? 0)} $finish;
  end
endmodule
`
  writeFileSync(join(folder, 'bench.v'), source)
  run('iverilog', '-g2012', '-o', 'bench', '-s', 'port', 'bench.v', ...VERILOG)
  run('vvp', '-n', 'bench')
  return readFileSync(join(folder, 'pad.vcd'))
}

const SIX = (again: number, delayNs: number) =>
  `six_button_pad #(.AGAIN(${again}), .DELAY_NS(${delayNs})) pad(power, select, held, idle_ns, pins);`
const IDLE_NS = 1_437_000

describeWith('a pad that Icarus Verilog simulates is measured', ['iverilog', 'vvp'], () => {
  it.each([
    ['stay', SIX(0, 14), 14, 4],
    ['start-again', SIX(1, 730), 730, 5],
  ] as const)('six buttons, %s', async (after, pad, delayNs, cycles) => {
    // Left and X are held.
    const all = await measured(dumpOf({ pad, idleNs: IDLE_NS, held: 0b0001_0000_0100, cycles }))
    expect(all.kinds).toEqual([after === 'stay' ? 'six-buttons-stay' : 'six-buttons-again'])
    expect(all.reply).toMatchObject({ minNs: delayNs - 1, maxNs: delayNs + 1 })
    const { minNs, maxNs, contradicts } = all.idleReset ?? {}
    expect(contradicts).toBe(false)
    expect(minNs).toBeLessThanOrEqual(IDLE_NS)
    expect(maxNs).toBeGreaterThanOrEqual(IDLE_NS)
    // The rests around it are 1.18 ms and 1.48 ms long, less the time of a read.
    expect(minNs).toBeGreaterThan(1_100_000)
    expect(maxNs).toBeLessThan(1_500_000)
    expect(all.held.filter(({ held }) => held > 0).map(({ input }) => input)).toEqual(['left', 'x'])
  })

  it('three buttons', async () => {
    const pad = 'three_button_pad #(.DELAY_NS(22)) pad(select, held, pins);'
    const all = await measured(dumpOf({ pad, idleNs: 0, held: 0b1000_0000 }))
    expect(all.kinds).toEqual(['three-buttons'])
    expect(all.idleReset).toBe(null)
    expect(all.reply?.minNs).toBeLessThanOrEqual(22)
    expect(all.reply?.maxNs).toBeGreaterThanOrEqual(22)
    expect(all.held.filter(({ held }) => held > 0).map(({ input }) => input)).toEqual(['start'])
  })
})

describeWith('and from samples that sigrok-cli takes of it', ['iverilog', 'vvp', 'sigrok-cli'], () => {
  it.each([10, 50, 250])('%i ns apart: the same pad, as exact as the samples are', async (stepNs) => {
    dumpOf({ pad: SIX(0, 130), idleNs: IDLE_NS, held: 0b0001_0000_0100 })
    rmSync(join(folder, 'pad.sr'), { force: true })
    run('sigrok-cli', '-I', `vcd:downsample=${stepNs}`, '-i', 'pad.vcd', '-o', 'pad.sr')
    const all = await measured(readFileSync(join(folder, 'pad.sr')))
    expect(all.pins).toEqual([1, 2, 3, 4, 6, 9])
    expect(all.stepNs).toBe(stepNs)
    expect(all.kinds).toEqual(['six-buttons-stay'])
    expect(all.reply?.minNs).toBeLessThanOrEqual(130)
    expect(all.reply?.maxNs).toBeGreaterThanOrEqual(130)
    expect((all.reply?.maxNs ?? Infinity) - (all.reply?.minNs ?? 0)).toBeLessThanOrEqual(4 * stepNs)
    expect(all.idleReset?.minNs).toBeLessThanOrEqual(IDLE_NS)
    expect(all.idleReset?.maxNs).toBeGreaterThanOrEqual(IDLE_NS)
    expect(all.held.filter(({ held }) => held > 0).map(({ input }) => input)).toEqual(['left', 'x'])
  })
})
