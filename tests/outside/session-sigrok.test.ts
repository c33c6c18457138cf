import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { shortTitle } from '../bench/short-titles.ts'
import { inferTitle } from '../title/infer/infer-title.ts'
import { Session } from '../../src/title/session/read.ts'
import { readVcd } from '../title/vcd/read-vcd.ts'
import { simulate } from '../title/infer/simulate.ts'
import { describeWith, findTool } from '../tools.ts'

let folder = ''
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'ninepin-session-'))))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const sigrok = (...args: string[]): string =>
  execFileSync(findTool('sigrok-cli') as string, args, { encoding: 'utf8', maxBuffer: 2 ** 28 })

/** A dump of wires that change in these ticks. */
function dumpOf(names: readonly string[], timescale: string, changes: readonly string[]): string {
  const wires = names.map((name, k) => `$var wire 1 ${String.fromCharCode(33 + k)} ${name} $end`)
  return [
    `$timescale ${timescale} $end`,
    '$scope module m $end',
    ...wires,
    '$upscope $end',
    '$enddefinitions $end',
    ...changes,
    '',
  ].join('\n')
}

/** Has sigrok-cli write a session file out of a dump. */
function session(dump: string): { path: string; bytes: Uint8Array } {
  const from = join(folder, 'in.vcd')
  const path = join(folder, 'out.sr')
  writeFileSync(from, dump)
  rmSync(path, { force: true })
  sigrok('-I', 'vcd', '-i', from, '-o', path)
  return { path, bytes: readFileSync(path) }
}

function changesIn(bytes: Uint8Array, name: string) {
  const opened = Session.open(bytes)
  if (!opened.ok) throw new Error(opened.error.message)
  const channel = opened.value.channels.find((each) => each.name === name)
  if (channel === undefined) throw new Error(`no ${name}`)
  const timesNs: number[] = []
  const values: number[] = []
  const span = opened.value.read(channel, (blockNs, blockValues) => {
    timesNs.push(...blockNs)
    values.push(...blockValues)
  })
  if (!span.ok) throw new Error(span.error.message)
  return { timesNs: Float64Array.from(timesNs), values: Uint8Array.from(values), ...span.value }
}

// Source: sigrok-cli (Debian package sigrok-cli), the session files that libsigrok writes and reads.
describeWith('sigrok-cli and we read the same out of a session file', ['sigrok-cli'], () => {
  it('sample by sample, as its CSV has them', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 19 }),
        fc.array(fc.tuple(fc.integer({ min: 1, max: 40 }), fc.nat(18), fc.boolean()), {
          minLength: 1,
          maxLength: 60,
        }),
        (wires, steps) => {
          const names = Array.from({ length: wires }, (_, k) => `line${k}`)
          const changes = ['#0', ...names.map((_, k) => `0${String.fromCharCode(33 + k)}`)]
          let tick = 0
          for (const [after, wire, level] of steps) {
            tick += after
            changes.push(`#${tick}`, `${level ? 1 : 0}${String.fromCharCode(33 + (wire % wires))}`)
          }
          changes.push(`#${tick + 5}`)
          const { path, bytes } = session(dumpOf(names, '1 us', changes))
          const rows = sigrok('-i', path, '-O', 'csv:header=false:label=off')
            .split('\n')
            .filter((line) => /^[01](,[01])*$/.test(line))
            .map((line) => line.split(',').map(Number))
          expect(rows).toHaveLength(tick + 5)
          names.forEach((name, wire) => {
            const ours = changesIn(bytes, name)
            const levels = rows.map((row) => row[wire] ?? -1)
            const expected = levels.flatMap((level, k) =>
              level === levels[k - 1] ? [] : [[k * 1_000, level]],
            )
            expect([...ours.timesNs].map((ns, k) => [ns, ours.values[k]])).toEqual(expected)
            expect(ours.endNs).toBe(rows.length * 1_000)
          })
        },
      ),
      { numRuns: 12 },
    )
  })

  it('change by change, as its VCD has them, over a capture of many pieces, and so is the title', () => {
    const line = simulate(
      {
        standard: '625-line',
        offsetsNs: [300_000, 4_000_000],
        cycles: 4,
        spacingNs: { minNs: 3_000, maxNs: 5_000 },
        rest: 'high',
        jitterNs: 20_000,
      },
      { frames: 20, ppm: 40 },
    )
    // Sampled at 10 MHz: an edge falls into the tick of 100 ns in which it comes.
    const changes = ['#0', '1!']
    line.timesNs.slice(1).forEach((ns, k) => changes.push(`#${Math.floor(ns / 100)}`, `${k % 2}!`))
    changes.push(`#${Math.floor(line.endNs / 100)}`)
    const { path, bytes } = session(dumpOf(['Select', 'other'], '100 ns', changes))
    const ours = changesIn(bytes, 'Select')
    const theirs = readVcd(Buffer.from(sigrok('-i', path, '-O', 'vcd')), { signal: 'Select' })
    if (!theirs.ok) throw new Error(theirs.error.message)
    expect(ours.samplerateHz).toBe(10_000_000)
    expect(ours.timesNs).toEqual(theirs.value.timesNs)
    expect(ours.values).toEqual(theirs.value.values)
    expect(ours.endNs).toBe(theirs.value.endNs)

    const title = inferTitle(ours, { name: 'sampled', source: 'a session' })
    if (!title.ok) throw new Error(title.error.kind)
    const { edgeSpacingNs, ...short } = shortTitle(title.value.title)
    expect(short).toMatchObject({ standard: '625-line', cyclesPerRead: 4, rest: 'high' })
    expect(short.readOffsetsNs).toHaveLength(2)
    // Each edge is early by less than a tick.
    expect(edgeSpacingNs.minNs).toBeGreaterThanOrEqual(2_900)
    expect(edgeSpacingNs.maxNs).toBeLessThanOrEqual(5_100)
  })
})
