import { createRequire } from 'node:module'
import type { Writable } from 'node:stream'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { explanationVcd } from '../../../src/bench/explain-vcd.ts'
import { cellLevel } from '../../../src/port/chart.ts'
import { PINS, maskOf, pinLevel } from '../../../src/port/pins.ts'
import type { Level } from '../../../src/port/pins.ts'
import { timeWord } from '../../../src/words/figures.ts'
import { ordinalWord } from '../../../src/words/number-texts.ts'
import { scopeWords } from '../../../src/ui/explain/scope-words.ts'
import { guiltySample, metBy, spanOf, wavesOf } from '../../../src/ui/explain/waves.ts'
import type { Piece } from '../../../src/ui/explain/waves.ts'
import { describeWith, findTool } from '../../tools.ts'
import { arbExplained, burst, early } from './examples.ts'
import type { Explained } from './examples.ts'

/** Misreads in which the pad counts an edge at all. */
const arbCounted = arbExplained.filter(({ explanation }) => explanation.witness.counted.length > 0)

const levelAt = (pieces: readonly Piece[], ns: number): Level | undefined =>
  pieces.find(({ fromNs, untilNs }) => fromNs <= ns && ns < untilNs)?.level

describe('the waves of a misread', () => {
  it('lie end to end and fill the diagram, no two alike side by side', () => {
    fc.assert(
      fc.property(arbExplained, ({ profile, explanation }) => {
        const span = spanOf(explanation)
        const { select, pins } = wavesOf(explanation, profile.chart, span)
        for (const pieces of [select, ...PINS.map((pin) => pins[pin])]) {
          expect(pieces[0]?.fromNs).toBe(span.fromNs)
          expect(pieces[pieces.length - 1]?.untilNs).toBe(span.untilNs)
          pieces.slice(1).forEach(({ fromNs }, k) => expect(fromNs).toBe(pieces[k]?.untilNs))
        }
        for (const pin of PINS) {
          const cells = pins[pin].map(({ cell }) => cell)
          expect(cells.some((cell, k) => cell === cells[k + 1])).toBe(false)
          for (const { cell, level } of pins[pin])
            expect(level).toBe(cellLevel(cell, maskOf(explanation.held)))
        }
      }),
      { numRuns: 50 },
    )
  })

  it('stand on the levels that the bench gives, at every change', () => {
    fc.assert(
      fc.property(arbCounted, ({ profile, explanation }) => {
        const span = spanOf(explanation)
        const { pins } = wavesOf(explanation, profile.chart, span)
        const changes = [{ atNs: span.fromNs, pins: explanation.pins.start }, ...explanation.pins.changes]
        changes.forEach((change, k) => {
          // Of changes in one instant the last one stands.
          if (changes[k + 1]?.atNs === change.atNs || change.atNs >= span.untilNs) return
          for (const pin of PINS) expect(levelAt(pins[pin], change.atNs)).toBe(pinLevel(change.pins, pin))
        })
      }),
      { numRuns: 50 },
    )
  })

  it('name what each pin carries, cycle after cycle', () => {
    const { profile, explanation } = burst()
    const { pins } = wavesOf(explanation, profile.chart, spanOf(explanation))
    expect(pins[1].map(({ cell }) => cell)).toEqual(['up', 'low', 'z', 'high', 'up'])
    expect(pins[6].map(({ cell }) => cell).join('')).toBe('bababababab')
  })

  it('show the guilty sample the reply that the bench blames', () => {
    fc.assert(
      fc.property(arbExplained, ({ explanation }) => {
        const met = metBy(explanation)
        const { atNs } = guiltySample(explanation)
        expect(met.fromNs <= atNs && atNs <= met.untilNs).toBe(true)
        expect(met.level).toBe(explanation.example.place.shownLevel)
      }),
      { numRuns: 50 },
    )
  })

  it('in the instant of a change, show it the side that the bench blames', () => {
    const { explanation } = early()
    const samples = explanation.samples.map((sample) =>
      sample.isGuilty ? { ...sample, atNs: 2_778 } : sample,
    )
    expect(metBy({ ...explanation, samples })).toMatchObject({ level: 'high', rises: 0, untilNs: 2_778 })
  })

  it('rest where the title rests, even if the line never comes up', () => {
    fc.assert(
      fc.property(arbExplained, ({ profile, title, explanation }) => {
        const { select } = wavesOf(explanation, profile.chart, { fromNs: -1e12, untilNs: 1e12 })
        expect(select[0]?.level).toBe(explanation.witness.reads.length === 1 ? title.idle : select[0]?.level)
      }),
      { numRuns: 50 },
    )
  })

  it('go on as far as the right reply', () => {
    const { explanation } = early()
    expect(explanation.dueNs).toBe(2_778)
    expect(spanOf(explanation).untilNs).toBeGreaterThan(2_778)
    expect(spanOf({ ...explanation, dueNs: explanation.untilNs + 5 }).untilNs).toBeGreaterThan(
      explanation.untilNs + 5,
    )
  })
})

interface StreamParser extends Writable {
  change: { any: (onChange: (code: string, time: bigint, command: number) => void) => void }
  info: { wires: { body: { body: { link: string; name: string }[] }[] } }
}

// Source: vcd-stream (npm), in its WebAssembly form: another's reader of the dump that the same diagram is saved as.
const PARSER = 'npm:vcd-stream/lib/web-vcd-parser.js'
const MODULE = 'npm:vcd-stream/out/vcd.js'
describeWith('a dump of the diagram, read by vcd-stream', [PARSER, MODULE], () => {
  const require = createRequire(import.meta.url)
  const load = (tool: string): unknown => require(findTool(tool) as string)
  /** Its number for high. */
  const HIGH = 15

  /** Changes of every wire by name, in order of time. */
  async function read(vcd: string): Promise<Map<string, { atNs: number; level: Level }[]>> {
    const createModule = load(MODULE) as () => Promise<unknown>
    const createParser = load(PARSER) as (module: unknown) => Promise<StreamParser>
    const parser = await createParser(await createModule())
    const changes = new Map<string, { atNs: number; level: Level }[]>()
    parser.change.any((code, time, command) => {
      const level = command === HIGH ? 'high' : 'low'
      changes.set(code, [...(changes.get(code) ?? []), { atNs: Number(time), level }])
    })
    await new Promise((resolve) => {
      parser.on('finish', resolve)
      parser.end(Buffer.from(vcd))
    })
    const wires = parser.info.wires.body[0]?.body ?? []
    return new Map(wires.map(({ link, name }) => [name, changes.get(link) ?? []]))
  }

  it('has the same edges, and the sample where the scope is told to look', async () => {
    const agree = async ({ profile, title, explanation }: Explained) => {
      const wires = await read(explanationVcd(explanation))
      const wire = (name: string) => wires.get(name) ?? []
      const waves = wavesOf(explanation, profile.chart, explanation)
      const edges = (pieces: readonly Piece[]) =>
        pieces
          .filter(({ level }, k) => level !== pieces[k - 1]?.level)
          .map(({ fromNs, level }) => ({ atNs: fromNs - explanation.fromNs, level }))
      // What comes with the very end has no length in a diagram.
      const endNs = explanation.untilNs - explanation.fromNs
      const inside = (name: string) => wire(name).filter(({ atNs }) => atNs < endNs)
      expect(edges(waves.select)).toEqual(inside('select'))
      for (const pin of PINS) expect(edges(waves.pins[pin])).toEqual(inside(`pin${pin}`))

      const sampleNs = wire('misread').find(({ level }) => level === 'high')?.atNs ?? NaN
      const startNs = -explanation.fromNs
      const falls = wire('select')
        .slice(1)
        .filter(({ atNs, level }) => level === 'low' && atNs >= startNs && atNs <= sampleNs)
      const words = scopeWords(explanation, profile.chart, title)
      const last = falls[falls.length - 1]
      // A fall that the pad never counts, since the line has not risen since the one before, is not an edge of the dump.
      if (last === undefined || title.rise !== null) return
      expect(words).toContain(`the ${ordinalWord(falls.length)} falling edge of pin 7`)
      expect(words).toContain(`, ${timeWord(sampleNs - last.atNs)} later: `)
    }
    await agree(burst())
    await agree(early())
    await fc.assert(fc.asyncProperty(arbCounted, agree), { numRuns: 20 })
  })
})
