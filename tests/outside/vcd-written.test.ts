import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Writable } from 'node:stream'
import fc from 'fast-check'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { readVcd } from '../title/vcd/read-vcd.ts'
import { writeVcd } from '../../src/title/vcd/write.ts'
import type { Signal, TestDump, VcdChange } from '../title/vcd/arbitrary.ts'
import { SIGNALS, changesOf, dump, dumpOf, listed } from '../title/vcd/arbitrary.ts'
import { describeWith, findTool } from '../tools.ts'

/** Dumps that we write, opened by programs that others wrote. */

let folder = ''
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'ninepin-vcd-'))))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const run = (tool: string, ...args: string[]): string =>
  execFileSync(findTool(tool) as string, args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] })

function written(input: TestDump): string {
  const path = join(folder, 'written.vcd')
  writeFileSync(path, writeVcd(input))
  return path
}

/** What is left of changes for a tool that keeps one level a nanosecond. */
function settled(changes: readonly VcdChange[]): VcdChange[] {
  const last = changes.filter(({ atNs }, k) => atNs !== changes[k + 1]?.atNs)
  return last.filter(({ value }, k) => value !== last[k - 1]?.value)
}

// Source: sigrok-cli (Debian package sigrok-cli), the VCD input module of libsigrok.
describeWith('sigrok-cli opens what we write', ['sigrok-cli'], () => {
  /** A level of every signal for every nanosecond, the last one not included. */
  const samples = (input: TestDump): string[] =>
    run('sigrok-cli', '-I', 'vcd', '-i', written(input), '-O', 'csv:header=false:label=off')
      .split('\n')
      .filter((line) => /^[01](,[01])*$/.test(line))

  it('with the same level in every nanosecond', () => {
    fc.assert(
      // An unknown level is left out: a logic analyser has none.
      fc.property(dumpOf(['0', '1'], 20), (input) => {
        const levels: Record<Signal, string> = { ...input.initial }
        const expected: string[] = []
        for (let ns = 0; ns < input.endNs; ns++) {
          for (const { atNs, signal, value } of input.changes) if (atNs === ns) levels[signal] = value
          expected.push(SIGNALS.map((signal) => levels[signal]).join(','))
        }
        fc.pre(expected.length > 0)
        expect(samples(input)).toEqual(expected)
      }),
      { numRuns: 15 },
    )
  })
})

// Source: vcd2fst and fst2vcd (Debian package gtkwave).
describeWith('vcd2fst opens what we write', ['vcd2fst', 'fst2vcd'], () => {
  it('and gives it back with the same changes and the same end', () => {
    fc.assert(
      fc.property(dump, (input) => {
        const fst = join(folder, 'converted.fst')
        run('vcd2fst', written(input), fst)
        const back = Buffer.from(run('fst2vcd', fst))
        for (const signal of SIGNALS) {
          const result = readVcd(back, { signal })
          expect(result.ok && result.value.signalPath).toBe(`port.${signal}`)
          expect(result.ok && settled(listed(result.value).changes)).toEqual(
            settled(changesOf(input, signal)),
          )
          expect(result.ok && result.value.endNs).toBe(input.endNs)
        }
      }),
      { numRuns: 15 },
    )
  })
})

interface StreamParser extends Writable {
  change: { any: (onChange: (code: string, time: bigint, command: number) => void) => void }
  info: { wires: Scope; timescale?: string }
  getTime: () => bigint
}
interface Scope {
  kind: 'scope'
  name: string
  body: (Scope | { kind: 'var'; type: string; size: number; link: string; name: string })[]
}

// Source: vcd-stream (npm), in its WebAssembly form, which needs no compiler.
const PARSER = 'npm:vcd-stream/lib/web-vcd-parser.js'
const MODULE = 'npm:vcd-stream/out/vcd.js'
describeWith('vcd-stream opens what we write', [PARSER, MODULE], () => {
  const require = createRequire(import.meta.url)
  /** Its numbers for the levels that we write. */
  const LEVELS = new Map<number, VcdChange['value']>([
    [14, '0'],
    [15, '1'],
    [16, 'x'],
  ])

  it('with the same wires, changes and end', async () => {
    const load = (tool: string): unknown => require(findTool(tool) as string)
    const createModule = load(MODULE) as () => Promise<unknown>
    const createParser = load(PARSER) as (module: unknown) => Promise<StreamParser>
    await fc.assert(
      fc.asyncProperty(dump, async (input) => {
        const parser = await createParser(await createModule())
        const changes = new Map<string, VcdChange[]>()
        parser.change.any((code, time, command) => {
          const value = LEVELS.get(command)
          if (value === undefined) throw new Error(`command ${command}`)
          changes.set(code, [...(changes.get(code) ?? []), { atNs: Number(time), value }])
        })
        await new Promise((resolve) => {
          parser.on('finish', resolve)
          parser.end(readFileSync(written(input)))
        })
        const [scope] = parser.info.wires.body
        if (scope?.kind !== 'scope') throw new Error('no scope')
        expect(scope.name).toBe('port')
        expect(scope.body).toMatchObject(
          SIGNALS.map((name) => ({ kind: 'var', type: 'wire', size: 1, name })),
        )
        for (const wire of scope.body) {
          if (wire.kind === 'var')
            expect(changes.get(wire.link)).toEqual(changesOf(input, wire.name as Signal))
        }
        expect(Number(parser.getTime())).toBe(input.endNs)
        expect(parser.info.timescale).toBe('1 ns')
      }),
      { numRuns: 25 },
    )
  })
})
