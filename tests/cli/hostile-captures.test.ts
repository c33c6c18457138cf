import { readFileSync, writeFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { frameNs } from '../../src/port/clocks.ts'
import { readTitle } from '../../src/title/file.ts'
import { writeVcd } from '../../src/title/vcd/write.ts'
import { random } from '../title/infer/simulate.ts'
import { builtCli } from './run-cli.ts'

/** Captures that nobody wants to read, each read to its end by the plain command line. */

const cli = builtCli()
const FRAME_NS = frameNs('525-line')
const HOUR_NS = 3_600_000_000_000

function write(name: string, edgesNs: readonly number[], endNs: number): string {
  const vcd = writeVcd({
    module: 'port',
    signals: ['select'],
    initial: { select: '1' },
    changes: edgesNs.map((ns, k) => ({
      atNs: Math.round(ns),
      signal: 'select',
      value: k % 2 === 0 ? '0' : '1',
    })),
    endNs: Math.round(endNs),
  })
  writeFileSync(cli.path(`${name}.vcd`), vcd)
  return `${name}.vcd`
}

const read = (atNs: number, cycles: number): number[] =>
  Array.from({ length: 2 * cycles }, (_, k) => Math.round(atNs) + k * 2_603)

/** So many times one after the other, each so long after the one before it at the least, and up to as long again. */
function apart(count: number, leastNs: number, seed: number): number[] {
  const next = random(seed)
  let atNs = 1_000
  return Array.from({ length: count }, () => (atNs += leastNs + Math.floor(next() * leastNs)))
}

/** What is refused says why, in a sentence or two, and leaves no title. */
function refusal(capture: string): string {
  const { code, err } = cli.run('infer', capture, '--out', 'none.json')
  expect(code).toBe(2)
  expect(cli.run('check', 'six-button', '--title', 'none.json').code).toBe(2)
  return err.trim()
}

const said = (capture: string, words: string): string => `ninepin: ${capture}: ${words}`

describe('infer', () => {
  it('refuses a line without edges, or with one', () => {
    const none = write('none', [], 1_000_000_000)
    expect(refusal(none)).toBe(
      said(
        none,
        'This line is high all the time. Capture while a title reads the port, or choose another line.',
      ),
    )
    expect(refusal(write('one', [500_000_000], 1_000_000_000))).toMatch(/^ninepin: one\.vcd: .*\.$/)
  })

  it('refuses an hour of nothing but glitches', () => {
    const pulses = apart(60_000, 40_000_000, 1).flatMap((ns) => [ns, ns + 40])
    expect(refusal(write('glitches', pulses, HOUR_NS))).toContain('This line is high all the time.')
  })

  it('refuses a line that never rests, steadily or not', () => {
    expect(refusal(write('restless', apart(200_000, 1_100, 2), 400_000_000))).toContain(
      'This line is never idle',
    )
    const steady = Array.from({ length: 100_000 }, (_, k) => 1_000 + 2_500 * k)
    expect(refusal(write('steady', steady, 250_001_000))).toContain('This looks like a clock of 200')
  })

  it('refuses reads that contradict each other in all that a read has', () => {
    const next = random(3)
    const edges = Array.from({ length: 3_000 }, (_, k) =>
      read(k * FRAME_NS + Math.floor(next() * 12_000_000), 1 + Math.floor(next() * 8)),
    )
    const capture = write('contradicts', edges.flat(), 3_000 * FRAME_NS)
    expect(refusal(capture)).toContain('This looks like a data line, not a select line')
  })

  it('reads a title under more glitches than are kept, and is sure of nothing', () => {
    const frames = 4_000
    const glitches = Array.from({ length: 20_000 }, (_, k) => Math.round(k * 3_300_000) + 1_700_000)
    const edges = [
      ...Array.from({ length: frames }, (_, k) => read(k * FRAME_NS + 400_003, 2)).flat(),
      ...glitches.flatMap((ns) => [ns, ns + 50]),
    ]
    const capture = write(
      'noisy',
      edges.sort((p, q) => p - q),
      frames * FRAME_NS,
    )
    const { code, out } = cli.run('infer', capture, '--out', 'noisy.json')
    expect(code).toBe(0)
    expect(out).toMatch(/^ {2}Left over /m)
    expect(out).not.toMatch(/^ {2}(?:Frame rate|Cycles per read|Idle level).*\(sure/m)
    expect(cli.run('check', 'six-button', '--title', 'noisy.json').code).toBe(4)
  })

  it('does not take a pattern that changes every nine frames for modes', () => {
    const frames = 20_000
    const edges = Array.from({ length: frames }, (_, k) =>
      read(k * FRAME_NS + 400_003, 1 + ((Math.floor(k / 9) * 7_919) % 5)),
    )
    const capture = write('restive', edges.flat(), frames * FRAME_NS)
    const { code, out } = cli.run('infer', capture, '--out', 'restive.json')
    expect(code).toBe(0)
    expect(out).toMatch(/^ {2}Left over /m)
    expect(out).not.toContain('mode 2')
    expect(cli.run('check', 'six-button', '--title', 'restive.json').code).toBe(4)
  })
})

describe('a capture that begins at power-on, as the user says', () => {
  const edges = [
    ...read(5_000_000, 3),
    ...Array.from({ length: 200 }, (_, k) => read((40 + k) * FRAME_NS, 1)).flat(),
  ]

  it('shows what a title does once, at start', () => {
    const capture = write('start', edges, 240 * FRAME_NS)
    expect(cli.run('infer', capture, '--out', 'anywhere.json').out).toMatch(/^ {2}Left over /m)
    const { code, out } = cli.run('infer', capture, '--from-power-on', '--out', 'start.json')
    expect(code).toBe(0)
    expect(out).not.toContain('Left over')
    const title = readTitle(readFileSync(cli.path('start.json')))
    const { modes, captures } = title.ok ? title.value : expect.fail(title.error.message)
    expect(modes.map(({ name, once }) => [name, once])).toEqual([
      ['At start', true],
      ['Mode 2', false],
    ])
    expect(captures?.map(({ fromPowerOn }) => fromPowerOn)).toEqual([true])
    // The third low phase of a six-button pad carries the identification (common practice, no source).
    expect(cli.run('check', 'six-button', '--title', 'start.json').code).toBe(4)
  })

  it('is said where a verdict is good', () => {
    const capture = write('plain', edges.slice(6), 240 * FRAME_NS)
    cli.run('infer', capture, '--from-power-on', '--out', 'plain.json')
    cli.run('infer', capture, '--out', 'unsaid.json')
    expect(cli.run('check', 'six-button', '--title', 'plain.json').out).toContain(
      'The capture begins at power-on, as was said when it was read.',
    )
    expect(cli.run('check', 'six-button', '--title', 'unsaid.json').out).toContain(
      'does not show what the title does elsewhere, or whether power-on is in it. That it drives select high is a guess:',
    )
  })

  it('has nothing counted before it', () => {
    // No idle reset comes between two reads so close, so what was counted before them would last up to the end.
    const capture = write('close', [...read(1_000, 1), ...read(900_000, 1)], 1_000_000)
    const [before, after] = [[], ['--from-power-on']].map((flags) =>
      cli.run('check', 'six-button', '--capture', capture, ...flags),
    )
    expect(before?.code).toBe(4)
    expect(before?.out).toContain('What was counted before the capture can make a difference up to its end.')
    expect(after?.out).toContain('The capture begins at power-on, as you say: nothing was counted before it.')
    expect(after?.code).toBe(0)
    expect(cli.run('check', 'six-button', '--title', 'plain.json', '--from-power-on').err).toContain(
      '--from-power-on goes with --capture',
    )
  })
})
