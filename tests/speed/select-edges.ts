import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { SIX_BUTTON_CHART, USUAL_IDLE_RESET_NS } from '../../src/port/family.ts'
import { maskOf } from '../../src/port/pins.ts'
import { LEVEL_CODES, holdInputs, replyToEdges } from '../../src/port/reply-to-edges.ts'
import type { SelectEdges } from '../../src/port/reply-to-edges.ts'
import { medianMs } from './median.ts'

const HELD = maskOf(['down', 'left', 'b', 'start', 'x', 'mode'])

/** How much is measured: so many edges in a run, and the median of so many runs where a run is short. */
interface Load {
  readonly edges: number
  readonly runs: number
}

/** From this level select moves with every edge. */
const START_LEVEL = LEVEL_CODES.low

/**
 * Writes the stimulus: 1 to 4096 ns between edges, and about once in 16 edges a pause around the idle reset. The pads in
 * `tests/outside/verilog/edges-run.*` are driven by the same: a linear congruential generator modulo 2^32, with the constants of
 * "Numerical Recipes" (from memory; any would do).
 */
function stimulate({ atNs, levels }: SelectEdges): void {
  let random = 1
  let nowNs = 0
  for (let k = 0; k < atNs.length; k++) {
    random = (Math.imul(random, 1_664_525) + 1_013_904_223) | 0
    const gap = random >>> 20
    nowNs += 1 + gap + ((random & 0xf000) === 0 ? 1_400_000 + 64 * gap : 0)
    atNs[k] = nowNs
    levels[k] = ~k & 1
  }
}

function checksum(pins: Uint8Array): number {
  let sum = 0
  for (let k = 0; k < pins.length; k++) sum = (Math.imul(sum, 31) + (pins[k] as number)) | 0
  return sum >>> 0
}

interface Figure {
  readonly checksum: number
  readonly ms: number
}

/** Ours: the stimulus, the replies to it and a look at each, as the others do it. */
export async function measureOurs(load: Load): Promise<Figure> {
  const edges = {
    startLevel: START_LEVEL,
    atNs: new Float64Array(load.edges),
    levels: new Uint8Array(load.edges),
  }
  const pinsAfter = new Uint8Array(load.edges)
  const replies = holdInputs(SIX_BUTTON_CHART, HELD)
  let sum = 0
  const ms = await medianMs(load.runs, () => {
    stimulate(edges)
    replyToEdges(replies, USUAL_IDLE_RESET_NS, edges, 0, pinsAfter)
    sum = checksum(pinsAfter)
  })
  return { checksum: sum, ms }
}

/** Whether a program is there; what it makes of the question does not matter. */
const present = (tool: string): boolean =>
  spawnSync(tool, ['--version'], { stdio: 'ignore' }).error === undefined

const run = (tool: string, args: readonly string[], cwd: string): string =>
  execFileSync(tool, args, { cwd, stdio: 'pipe', encoding: 'latin1' })

/** A whole run of Icarus Verilog, less one that sees no edge. */
function icarus({ edges: all }: Load, sources: string, folder: string): Figure {
  const take = (edges: number): Figure => {
    const top = ['-s', 'edges_run', '-P', `edges_run.EDGES=${edges}`, '-P', `edges_run.HELD=${HELD}`]
    const files = ['edges-run.v', 'edges-pad.v', 'six-button-reply.v'].map((name) => join(sources, name))
    run('iverilog', ['-g2009', ...top, '-o', 'edges.vvp', ...files], folder)
    const start = performance.now()
    const told = run('vvp', ['-n', 'edges.vvp'], folder)
    return { checksum: Number(told), ms: performance.now() - start }
  }
  const start = take(0)
  const whole = take(all)
  return { checksum: whole.checksum, ms: whole.ms - start.ms }
}

/** The loop alone, timed inside the program that Verilator makes; the median. */
function verilator({ edges, runs }: Load, sources: string, folder: string): Figure {
  const files = ['edges-pad.v', 'six-button-reply.v', 'edges-run.cpp'].map((name) => join(sources, name))
  const fast = ['-O3', '--x-assign', 'fast', '--x-initial', 'fast', '--noassert', '-CFLAGS', '-O3']
  const make = [
    '--cc',
    '--exe',
    '--build',
    ...fast,
    '--top-module',
    'edges_pad',
    '--Mdir',
    'made',
    '-o',
    'edges-run',
  ]
  run('verilator', [...make, ...files], folder)
  const told = run(join(folder, 'made/edges-run'), [edges, HELD, runs].map(String), folder)
  const figures = told
    .trimEnd()
    .split('\n')
    .map((line) => line.split(' ').map(Number))
    .map(([sum = NaN, ns = NaN]) => ({ checksum: sum, ms: ns / 1e6 }))
    .sort((p, q) => p.ms - q.ms)
  return figures[figures.length >> 1] as Figure
}

/** Pads in Verilog that take the same stimulus; `tools` are what each needs. */
export const PEERS = [
  { name: 'icarus', tools: ['iverilog', 'vvp'], measure: icarus },
  { name: 'verilator', tools: ['verilator', 'g++', 'make'], measure: verilator },
] as const

type Peer = (typeof PEERS)[number]

/** @param root folder of the package */
export function measurePeer({ measure }: Peer, load: Load, root: string): Figure {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-edges-'))
  try {
    return measure(load, join(root, 'tests/outside/verilog'), folder)
  } finally {
    rmSync(folder, { recursive: true })
  }
}

/**
 * Select edges replied to in a second, on one thread, beside pads in Verilog: the same stimulus, a look at the six pins after
 * each edge, the same checksum. `edges/s NAME VALUE` for each, and how many times faster ours is.
 */
export async function selectEdges(root: string): Promise<void> {
  const load = { edges: 4_194_304, runs: 7 }
  const ours = await measureOurs(load)
  const perSecond = ({ ms }: Figure) => ((load.edges / ms) * 1000).toFixed(0)
  console.log(`edges/s select-edges ${perSecond(ours)}`)
  for (const peer of PEERS) {
    const missing = peer.tools.filter((tool) => !present(tool))
    if (missing.length > 0) {
      console.log(`skipped: ratio select-edges-over-${peer.name} (${missing.join(', ')} absent)`)
      continue
    }
    const theirs = measurePeer(peer, load, root)
    if (theirs.checksum !== ours.checksum)
      throw new Error(`${peer.name} sees other pins: checksum ${theirs.checksum}, ours ${ours.checksum}`)
    console.log(`edges/s select-edges-${peer.name} ${perSecond(theirs)}`)
    console.log(`ratio select-edges-over-${peer.name} ${(theirs.ms / ours.ms).toFixed(2)}`)
  }
}
