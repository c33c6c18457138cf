import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import fc from 'fast-check'
import { expect, it } from 'vitest'
import type { Chart } from '../../src/port/chart.ts'
import { PortEngine } from '../../src/port/engine.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CHART } from '../../src/port/family.ts'
import { ALL_INPUTS } from '../../src/port/pins.ts'
import type { Level } from '../../src/port/pins.ts'
import { LEVEL_CODES, heldPinChanges, holdInputs } from '../../src/port/reply-to-edges.ts'
import { ChartReplier } from '../port/replier.ts'
import { describeWith, findTool } from '../tools.ts'

/**
 * Pads in Verilog, simulated by Icarus Verilog, against the port: the engine and the reply to a row of edges.
 * Sources: the function table of the 74HC157 datasheets; the six-button replies, the count and the idle reset are common
 * practice, no source (port table in DEVELOPERS.md). That a rise at the very instant of an idle reset comes after it is ours.
 */

const STIMULI = 10_000
/** `DELAY_NS` of the pads: from select to the pins. */
const DELAY_NS = 14

/** The pads of play.v, in the order in which it prints them. */
const CHARTS: readonly Chart[] = [
  THREE_BUTTON_CHART,
  SIX_BUTTON_CHART,
  { ...SIX_BUTTON_CHART, after: { kind: 'start-again' } },
]

/** Select moves at even nanoseconds only and looks come at odd ones, so that no order within an instant matters. */
interface Stimulus {
  readonly held: number
  readonly rest: Level
  readonly idleResetNs: number
  /** In order of time; each moves select. */
  readonly edgesNs: readonly number[]
  /** In order of time. */
  readonly looksNs: readonly number[]
  /** Rises at the very instant of an idle reset. */
  readonly ties: number
}

const even = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: min / 2, max: max / 2 }).map((half) => 2 * half)

const arbStimulus: fc.Arbitrary<Stimulus> = fc
  .record({
    held: fc.nat(ALL_INPUTS),
    rest: fc.constantFrom<Level>('low', 'high'),
    idleResetNs: fc.oneof(even(1_100_000, 1_800_000), even(10_000, 40_000)),
    moves: fc.array(
      fc.record({
        // Mostly as a read does it, at times closer than the pads can follow, at times around the idle reset or long after.
        wait: fc.oneof(
          { weight: 9, arbitrary: even(2, 6_000).map((ns) => ({ fromReset: false, ns })) },
          { weight: 2, arbitrary: even(2, 24).map((ns) => ({ fromReset: false, ns })) },
          { weight: 2, arbitrary: even(-4, 4).map((ns) => ({ fromReset: true, ns })) },
          { weight: 1, arbitrary: even(2, 4_000_000).map((ns) => ({ fromReset: false, ns })) },
        ),
        look: fc.nat(2_000),
      }),
      { minLength: 6, maxLength: 22 },
    ),
  })
  .map(({ moves, ...port }) => {
    let atNs = 100
    let level = port.rest
    let resetNs = -1
    let ties = 0
    const edgesNs: number[] = []
    const looks = new Set<number>()
    for (const { wait, look } of moves) {
      atNs = wait.fromReset && resetNs + wait.ns > atNs ? resetNs + wait.ns : atNs + Math.abs(wait.ns) + 2
      edgesNs.push(atNs)
      level = level === 'low' ? 'high' : 'low'
      if (level === 'high') {
        if (atNs === resetNs) ties++
        resetNs = atNs + port.idleResetNs
        looks.add(resetNs + DELAY_NS - 1).add(resetNs + DELAY_NS + 1)
      }
      // The old reply to the last, the new one from then on, and somewhere later.
      looks
        .add(atNs + DELAY_NS - 1)
        .add(atNs + DELAY_NS + 1)
        .add(atNs + 2 * look + 1)
    }
    return { ...port, edgesNs, looksNs: [...looks].sort((p, q) => p - q), ties }
  })

/** The script of play.v for one stimulus. */
function scriptOf({ held, rest, idleResetNs, edgesNs, looksNs }: Stimulus): string[] {
  const lines = [`h ${held}`, `i ${idleResetNs}`, `p ${LEVEL_CODES[rest]}`]
  let nowNs = 0
  let level = LEVEL_CODES[rest] === 1
  const until = (atNs: number) => {
    lines.push(`w ${atNs - nowNs}`)
    nowNs = atNs
  }
  let e = 0
  for (const lookNs of looksNs) {
    for (let edgeNs = edgesNs[e]; edgeNs !== undefined && edgeNs < lookNs; edgeNs = edgesNs[++e]) {
      until(edgeNs)
      level = !level
      lines.push(`s ${level ? 1 : 0}`)
    }
    until(lookNs)
    lines.push('l 0')
  }
  // An odd time ends the last look; power comes on at an even one.
  until(nowNs + 1)
  return lines
}

/** What the engine shows at the looks. */
function enginePins(chart: Chart, { held, rest, idleResetNs, edgesNs, looksNs }: Stimulus): number[] {
  const replier = new ChartReplier(chart, idleResetNs, DELAY_NS)
  replier.held = held
  const engine = new PortEngine(replier, rest)
  let e = 0
  return looksNs.map((lookNs) => {
    for (let edgeNs = edgesNs[e]; edgeNs !== undefined && edgeNs < lookNs; edgeNs = edgesNs[++e])
      engine.select(edgeNs, engine.level === 'low' ? 'high' : 'low')
    engine.advance(lookNs)
    return engine.pins ?? -1
  })
}

/** What the reply to the whole row of edges shows at the looks. */
function rowPins(chart: Chart, { held, rest, idleResetNs, edgesNs, looksNs }: Stimulus): number[] {
  const startLevel = LEVEL_CODES[rest]
  const edges = {
    startLevel,
    atNs: Float64Array.from(edgesNs),
    levels: Uint8Array.from(edgesNs, (_, k) => (startLevel + k + 1) % 2),
  }
  const endNs = looksNs.at(-1) ?? 0
  const changes = [
    ...heldPinChanges(holdInputs(chart, held), { idleResetNs, delayNs: DELAY_NS }, edges, endNs),
  ]
  let c = 0
  return looksNs.map((lookNs) => {
    while ((changes[c + 1]?.atNs ?? Infinity) <= lookNs) c++
    return changes[c]?.pins ?? -1
  })
}

const source = (name: string) => fileURLToPath(new URL(`verilog/${name}.v`, import.meta.url))
const SOURCES = ['hc157', 'three-button-pad', 'six-button-reply', 'six-button-pad', 'play'].map(source)

/** What stood on the pins of each pad at each look, as Icarus Verilog has it. */
function simulate(script: string): number[][] {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-pads-'))
  try {
    writeFileSync(join(folder, 'script.txt'), script)
    execFileSync(findTool('iverilog') as string, ['-g2009', '-s', 'play', '-o', 'play.vvp', ...SOURCES], {
      cwd: folder,
    })
    execFileSync(findTool('vvp') as string, ['-n', 'play.vvp'], { cwd: folder, stdio: 'pipe' })
    const looks = readFileSync(join(folder, 'looks.txt'), 'latin1').trimEnd().split('\n')
    // What is not a number, such as pins that are not known, becomes NaN and equals nothing of ours.
    return looks.map((line) => line.split(' ').map((pins) => Number(`0x${pins}`)))
  } finally {
    rmSync(folder, { recursive: true })
  }
}

describeWith('the port, as pads in Verilog have it', ['iverilog', 'vvp'], () => {
  it(`shows the same on all six pins at every look, for ${STIMULI} select lines and three pads`, () => {
    const stimuli = fc.sample(arbStimulus, { numRuns: STIMULI, seed: 157 })
    const simulated = simulate(stimuli.flatMap(scriptOf).join('\n'))
    expect(simulated.length).toBe(stimuli.reduce((sum, { looksNs }) => sum + looksNs.length, 0))

    let first = 0
    const kinds = new Set<string>()
    stimuli.forEach((stimulus, s) => {
      const theirs = simulated.slice(first, first + stimulus.looksNs.length)
      first += stimulus.looksNs.length
      CHARTS.forEach((chart, pad) => {
        const wanted = theirs.map((pins) => pins[pad])
        expect(enginePins(chart, stimulus), `engine, stimulus ${s}, pad ${pad}`).toEqual(wanted)
        expect(rowPins(chart, stimulus), `row, stimulus ${s}, pad ${pad}`).toEqual(wanted)
      })
      kinds.add(JSON.stringify(theirs))
    })
    // The stimuli show something: replies of many kinds, and rises at the very instant of a reset.
    expect(kinds.size).toBeGreaterThan(0.9 * STIMULI)
    expect(stimuli.reduce((sum, { ties }) => sum + ties, 0)).toBeGreaterThan(1_000)
  }, 300_000)
})
