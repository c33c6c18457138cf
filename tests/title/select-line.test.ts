import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { replyTo } from '../../src/bench/reply.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readCapture } from '../../src/title/capture/read-capture.ts'
import { HIGH, LOW, LineCleaner } from '../../src/title/select-line.ts'
import { SelectReader } from '../../src/title/select-reader.ts'
import { draws, often } from '../draws.ts'

/** A dump of a line that begins low and changes at these times. */
const dumpOf = (timesNs: readonly number[], endNs: number): Uint8Array =>
  new TextEncoder().encode(
    [
      '$timescale 1 ns $end $var wire 1 ! select $end $enddefinitions $end',
      '#0',
      '0!',
      ...timesNs.flatMap((ns, k) => [`#${ns}`, k % 2 === 0 ? '1!' : '0!']),
      `#${endNs}`,
      '',
    ].join('\n'),
  )

function selectOf(bytes: Uint8Array) {
  const reader = new SelectReader()
  reader.push(bytes)
  const line = reader.finish()
  if (!line.ok) throw new Error(line.error.message)
  return line.value
}

/** Rises among levels that stand one after another. */
const risesOf = (levels: Uint8Array): number =>
  levels.filter((level, k) => k > 0 && level === HIGH && levels[k - 1] === LOW).length

/** Gaps between changes, pulses among them; the first level lasts, as before a capture somebody waits for the title. */
const arbTimes = fc
  .array(
    fc.oneof(
      fc.integer({ min: 1, max: 99 }),
      fc.constantFrom(99, 100, 101),
      fc.integer({ min: 100, max: 9_000 }),
    ),
    {
      maxLength: 80,
    },
  )
  .map((gaps) => {
    let ns = 1_000
    return gaps.map((gap) => (ns += gap))
  })

/** Pulses that are left out, told from the definition alone: a level that ends in under 100 ns never was, and both its edges go. */
function keptOf(timesNs: readonly number[]): number[] {
  const kept: number[] = []
  for (const ns of timesNs) {
    const last = kept.at(-1)
    if (last !== undefined && ns - last < 100) kept.pop()
    else kept.push(ns)
  }
  return kept
}

describe('a captured select line has one meaning', () => {
  it('every rise of it is a rise that is kept, or one of the pulses that are told', () => {
    let pulses = 0
    fc.assert(
      fc.property(arbTimes, (timesNs) => {
        const line = selectOf(dumpOf(timesNs, 2_000_000))
        const kept = keptOf(timesNs)
        expect([...line.timesNs]).toEqual([0, ...kept])
        expect(risesOf(line.levels) + line.glitches.count).toBe(Math.ceil(timesNs.length / 2))
        expect(line.glitches.count).toBe((timesNs.length - kept.length) / 2)
        pulses += line.glitches.count
      }),
      { numRuns: draws(500) },
    )
    expect(pulses).toBeGreaterThan(often(300))
  })

  it('for infer, which reads it in blocks, and for reply, which writes it again: as many rises, as many pulses', async () => {
    await fc.assert(
      fc.asyncProperty(arbTimes, async (timesNs) => {
        const bytes = dumpOf(timesNs, 2_000_000)
        const line = selectOf(bytes)
        const { initial, changes } = replyTo(BUILT_IN_PROFILES['six-button'], [], line)
        let before = initial.select
        let rises = 0
        for (const { signal, value } of changes) {
          if (signal !== 'select') continue
          if (before === '0' && value === '1') rises++
          before = value
        }

        const cleaner = new LineCleaner()
        const all = [0, ...timesNs]
        all.forEach((ns, k) => {
          cleaner.push(Float64Array.of(ns), Uint8Array.of(k % 2 === 0 ? LOW : HIGH))
        })
        expect(risesOf(cleaner.finish({ startNs: 0, endNs: 2_000_000 }).levels)).toBe(rises)

        const reading = readCapture({ name: 'a.vcd', bytes: bytes.length, chunks: [bytes] }, { by: 'itself' })
        for (;;) {
          const { done, value } = await reading.next()
          if (!done) continue
          if (value.kind !== 'found') throw new Error('the line is found')
          const told = value.found.findings.flatMap((one) => (one.what === 'glitches' ? [one.value] : []))[0]
          // Those that no program makes are told with them.
          expect(told?.count ?? 0).toBeGreaterThanOrEqual(line.glitches.count)
          if (line.glitches.count > 0) expect(told?.firstNs).toBeLessThanOrEqual(line.glitches.firstNs)
          return
        }
      }),
      { numRuns: draws(200) },
    )
  })
})

describe('a select line in a dump', () => {
  const twoWires = new TextEncoder().encode(
    `$timescale 1 ns $end $scope module port $end $var wire 1 ! select $end $var wire 1 " strobe $end $upscope $end
$enddefinitions $end\n#0\n0!\n1"\n#500\n1!\n#900\n0"\n#2000\n`,
  )
  const read = (bytes: Uint8Array, options: { readonly signal?: string } = {}) => {
    const reader = new SelectReader(options)
    const wantsMore = reader.push(bytes)
    return { wantsMore, line: reader.finish() }
  }

  it('is the one that is asked for, by name or path, and tells its path', () => {
    for (const [options, signalPath, timesNs] of [
      [{}, 'port.select', [0, 500]],
      [{ signal: 'strobe' }, 'port.strobe', [0, 900]],
      [{ signal: 'port.strobe' }, 'port.strobe', [0, 900]],
    ] as const) {
      const { wantsMore, line } = read(twoWires, options)
      expect(wantsMore).toBe(true)
      expect(line).toMatchObject({ ok: true, value: { signalPath, endNs: 2_000, full: false } })
      expect(line.ok && [...line.value.timesNs]).toEqual(timesNs)
    }
  })

  it('has all of its edges, however many', () => {
    const timesNs = Array.from({ length: 20_000 }, (_, k) => 1_000 * (k + 1))
    const line = selectOf(dumpOf(timesNs, 30_000_000))
    expect([...line.timesNs]).toEqual([0, ...timesNs])
    expect([...line.levels]).toEqual([0, ...timesNs].map((_, k) => (k % 2 === 0 ? LOW : HIGH)))
    expect(line).toMatchObject({ full: false, endNs: 30_000_000 })
  })

  it('is the first fault of the file where there is one, and asks for no more of it', () => {
    const { wantsMore, line } = read(new TextEncoder().encode('$enddefinitions $end\n#0\n'))
    expect(wantsMore).toBe(false)
    expect(line).toMatchObject({ ok: false, error: { line: 1 } })
    expect(read(twoWires, { signal: 'clock' })).toMatchObject({ wantsMore: false, line: { ok: false } })
  })
})
