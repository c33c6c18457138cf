import { readFileSync, readdirSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { frameHz, frameNs } from '../../../src/port/clocks.ts'
import { readTitle, writeTitle } from '../../../src/title/file.ts'
import type { CaptureFinding, CaptureFindingOf, InferFault, What } from '../../../src/title/infer/findings.ts'
import { driveTitle } from './drive.ts'
import { inferTitle } from './infer-title.ts'
import type { Inferred, Origin } from '../../../src/title/infer/infer.ts'
import type { ShortTitle } from '../../../src/title/short-title.ts'
import { faultSentence, findingLine } from '../../../src/title/infer/finding-words.ts'
import { shortTitle } from '../../bench/short-titles.ts'
import type { Edges, Pattern, Simulated } from './simulate.ts'
import { edgesOf, random, simulate } from './simulate.ts'
import { draws } from '../../draws.ts'

const ORIGIN = { name: 'lamp room', source: 'select in lamp-room.vcd' }

/** What is found, and the title the short way: a captured line shows no more than that can say. */
function inferred(edges: Edges, origin: Origin = ORIGIN): Inferred & { readonly short: ShortTitle } {
  const result = inferTitle(edges, origin)
  if (!result.ok) throw new Error(faultSentence(result.error))
  return { ...result.value, short: shortTitle(result.value.title) }
}

function fault(edges: Edges): InferFault {
  const result = inferTitle(edges, ORIGIN)
  if (result.ok) throw new Error('a title came out')
  return result.error
}

const found = <W extends What>(
  findings: readonly CaptureFinding[],
  what: W,
): CaptureFindingOf<W> | undefined =>
  findings.find((finding) => finding.what === what) as CaptureFindingOf<W> | undefined

function valueOf<W extends What>(findings: readonly CaptureFinding[], what: W): CaptureFindingOf<W>['value'] {
  const finding = found(findings, what)
  if (finding === undefined) throw new Error(`no ${what}`)
  return finding.value
}

/** A read pattern whose longest rest is at the end of the frame, so that it is known which read is the first. */
const arbPattern: fc.Arbitrary<Pattern> = fc
  .record({
    standard: fc.constantFrom('525-line' as const, '625-line' as const),
    firstNs: fc.integer({ min: 0, max: 400_000 }),
    gapsNs: fc.array(fc.integer({ min: 0, max: 2_000_000 }), { maxLength: 3 }),
    cycles: fc.integer({ min: 1, max: 8 }),
    leastNs: fc.integer({ min: 1_200, max: 12_000 }),
    stretch: fc.double({ min: 1, max: 1.8, noNaN: true }),
    rest: fc.constantFrom('high' as const, 'low' as const),
    jitterNs: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 400_000 })),
  })
  .map(({ standard, firstNs, gapsNs, cycles, leastNs, stretch, rest, jitterNs }) => {
    const spacingNs = { minNs: leastNs, maxNs: Math.floor(leastNs * stretch) }
    let offsetNs = firstNs
    const offsetsNs = [offsetNs]
    // A rest between two reads is five phases at the least: shorter ones cannot be told from phases.
    for (const gapNs of gapsNs)
      offsetsNs.push((offsetNs += jitterNs + (2 * cycles + 5) * spacingNs.maxNs + gapNs))
    return { standard, offsetsNs, cycles, spacingNs, rest, jitterNs }
  })

const plain: Pattern = {
  standard: '525-line',
  offsetsNs: [250_000],
  cycles: 2,
  spacingNs: { minNs: 2_600, maxNs: 2_600 },
  rest: 'high',
  jitterNs: 0,
}

const spacings = (reads: Simulated['reads']): number[] =>
  reads.flatMap(({ edgesNs }) => edgesNs.slice(1).map((ns, k) => ns - (edgesNs[k] ?? 0)))

describe('a title that is simulated and read back', () => {
  it('has the same rest, cycles, reads, standard, clock, places and spacing', () => {
    fc.assert(
      fc.property(
        arbPattern,
        fc.record({
          frames: fc.integer({ min: 12, max: 40 }),
          ppm: fc.integer({ min: -9_000, max: 9_000 }),
          seed: fc.nat(),
          skipped: fc.constantFrom(0, 0.1),
          glitches: fc.constantFrom(0, 0, 20),
          fromShare: fc.double({ min: 0, max: 1, noNaN: true }),
          toShare: fc.double({ min: 0, max: 1, noNaN: true }),
        }),
        (pattern, { frames, ppm, seed, skipped, glitches, fromShare, toShare }) => {
          const dice = random(seed + 1)
          const skippedFrames = new Set(
            Array.from({ length: frames }, (_, k) => k).filter(() => dice() < skipped),
          )
          fc.pre(frames - skippedFrames.size >= 8)
          const lengthNs = frameNs(pattern.standard) * (1 + ppm / 1e6)
          const line = simulate(pattern, {
            frames,
            ppm,
            seed,
            skips: (frame) => skippedFrames.has(frame),
            glitches,
            fromNs: Math.floor(fromShare * lengthNs),
            toNs: Math.floor((frames - 1 + toShare) * lengthNs),
          })
          const { title, short, findings } = inferred(line)
          const spreadNs = pattern.spacingNs.maxNs - pattern.spacingNs.minNs
          const lateNs = pattern.jitterNs + (pattern.rest === 'high' ? spreadNs : 0)
          // Whole reads for sure, with a rest on either side: those away from both ends.
          const middle = line.reads.filter(({ frame }) => frame > 1 && frame < frames - 2)

          expect(short.rest).toBe(pattern.rest)
          expect(short.cyclesPerRead).toBe(pattern.cycles)
          expect(short.readOffsetsNs).toHaveLength(pattern.offsetsNs.length)
          expect(short.standard).toBe(pattern.standard)
          expect(valueOf(findings, 'standard').standard).toBe(pattern.standard)
          // The ends of a line through so many frames may be late, each in its own way.
          const openPpm = ((2 * lateNs) / (lengthNs * (frames - 3))) * 1e6
          const { hz } = valueOf(findings, 'frame-rate')
          const measuredPpm = (frameHz(pattern.standard) / hz - 1) * 1e6
          expect(Math.abs(measuredPpm - ppm)).toBeLessThanOrEqual(openPpm + 1)
          expect(short.clockPpm).toBeGreaterThanOrEqual(Math.min(100, Math.abs(measuredPpm)))

          short.readOffsetsNs.forEach((offsetNs, read) => {
            const trueNs = (pattern.offsetsNs[read] ?? 0) - (pattern.offsetsNs[0] ?? 0)
            expect(Math.abs(offsetNs - trueNs)).toBeLessThanOrEqual(1.02 * lateNs + 0.0002 * trueNs + 4)
          })
          const jitter = valueOf(findings, 'read-jitter')
          expect(jitter.seenNs).toBeLessThanOrEqual(lateNs + (openPpm / 1e6) * lengthNs * frames + 4)
          expect(jitter.takenNs).toBe(short.readJitterNs)
          expect(short.readJitterNs).toBeLessThanOrEqual(jitter.seenNs)

          const all = spacings(line.reads)
          const sure = spacings(middle)
          expect(short.edgeSpacingNs.minNs).toBeLessThanOrEqual(Math.min(...sure))
          expect(short.edgeSpacingNs.maxNs).toBeGreaterThanOrEqual(Math.max(...sure))
          expect(short.edgeSpacingNs.minNs).toBeGreaterThanOrEqual(Math.min(...all))
          expect(short.edgeSpacingNs.maxNs).toBeLessThanOrEqual(Math.max(...all))
          expect(short.sampleAfterEdgeNs.maxNs).toBeLessThan(short.edgeSpacingNs.minNs)

          expect(readTitle(new TextEncoder().encode(writeTitle(title)))).toEqual({ ok: true, value: title })
        },
      ),
      { numRuns: draws(400) },
    )
  })

  it('jitters as much as its reads were seen to', () => {
    fc.assert(
      fc.property(fc.integer({ min: 100, max: 900_000 }), fc.nat(), (jitterNs, seed) => {
        const line = simulate({ ...plain, jitterNs }, { frames: 60, seed })
        const lateNs = line.reads.map(({ frame, edgesNs }) => (edgesNs[0] ?? 0) - frame * frameNs('525-line'))
        const trueNs = Math.max(...lateNs) - Math.min(...lateNs)
        const { seenNs } = valueOf(inferred(line).findings, 'read-jitter')
        // What the slope of the clock is off by, over all frames, may add to it or hide some.
        expect(Math.abs(seenNs - trueNs)).toBeLessThanOrEqual(0.7 * jitterNs)
        expect(seenNs).toBeGreaterThanOrEqual(0.7 * trueNs)
      }),
      { numRuns: 60 },
    )
  })

  it.each(readdirSync('static/demo/titles'))('%s of the museum', (file) => {
    const read = readTitle(readFileSync(`static/demo/titles/${file}`))
    if (!read.ok) throw new Error(read.error.message)
    const title = read.value
    const [one] = title.modes.at(-1)?.reads ?? []
    if (one?.starts.kind !== 'frame') throw new Error('a read in each frame was expected')
    const { short: back, findings } = inferred(driveTitle(title, { frames: 120 }))
    expect(back).toMatchObject({
      standard: title.standard,
      cyclesPerRead: one.steps.filter((step) => 'select' in step && step.select === 'low').length,
      rest: title.idle,
    })
    expect(back.readOffsetsNs).toHaveLength(one.starts.offsetsNs.length)
    expect(found(findings, 'reads-per-frame')).toMatchObject({ sureness: 'sure' })
    expect(found(findings, 'standard')).toMatchObject({ sureness: 'sure' })
  })
})

it.each([
  [8, 2_000_000],
  [16, 1_043_009],
  [16, 200_000],
  [16, 70_000],
])('%i reads, %i ns apart, and skipped frames', (reads, apartNs) => {
  const offsetsNs = Array.from({ length: reads }, (_, k) => k * apartNs)
  const line = simulate({ ...plain, offsetsNs, cycles: 1 }, { frames: 58, skips: (frame) => frame % 9 === 5 })
  const { short, findings } = inferred(line)
  expect(valueOf(findings, 'standard')).toMatchObject({ standard: '525-line' })
  expect(short.readOffsetsNs).toHaveLength(reads)
  expect(valueOf(findings, 'skipped-frames').count).toBe(6)
})

describe('what it says of a plain capture', () => {
  const { title, short, findings } = inferred(simulate(plain, { frames: 120 }))

  it('is the title that was played, with what had to be guessed', () => {
    expect(title.version).toBe(3)
    expect(short).toMatchObject({
      name: 'lamp room',
      fragile: false,
      standard: '525-line',
      readOffsetsNs: [0],
      readJitterNs: 0,
      clockPpm: 100,
      cyclesPerRead: 2,
      edgeSpacingNs: { minNs: 2_600, maxNs: 2_600 },
      sampleAfterEdgeNs: { minNs: 521, maxNs: 2_599 },
      rest: 'high',
      drive: { kind: 'driven' },
      sixButtons: { kind: 'never' },
    })
  })

  it('tells how sure each thing is, and on what it stands', () => {
    // Between reads: a frame of 16.688152 ms without three phases of 2.6 µs. 59.9228 Hz: the frame rate of port-facts, 262 lines of 3420 clocks of 15 × 315/88 MHz (SMPTE 170M).
    expect(findings.map(findingLine)).toEqual([
      'Frame rate: 59.9228 Hz (sure, 120 of 120 frames)',
      'Video standard: 525-line, 0 ppm off (sure, 120 of 120 frames)',
      'Reads per frame: 1 (sure, 120 of 120 frames)',
      'Reads begin at: 0 ns, from the first read of the frame; where the frame itself begins does not show (sure, 120 of 120 frames)',
      'Idle level: high (sure, 120 of 120 reads)',
      'Cycles per read: 2 (sure, 120 of 120 reads)',
      'Edge spacing: 2.6 µs (sure, 120 of 120 reads)',
      'Between reads: 16.680352 ms (sure, 120 of 120 reads)',
      'Read jitter: up to 0 ns (likely, 120 of 120 frames)',
      'Clock tolerance: 100 ppm; crystals are off by about 100, and this one by what was seen (guess)',
      'Sample after edge: 521 ns to 2.599 µs; edges show only that it comes before the next edge, and code needs about 1 µs after its write (guess)',
      'Samples: three buttons in the first cycle; edges do not show which samples are used (guess)',
      'Six buttons: never; the read is too short to reach them (guess)',
      'Select high is: driven (guess)',
    ])
  })

  it('says of each figure of the title how often it was seen, or that it is guessed', () => {
    const seen = { kind: 'measured', seen: 120, of: 120 }
    const guessed = { kind: 'guessed' }
    expect(short.sources).toEqual({
      standard: seen,
      readOffsetsNs: seen,
      rest: seen,
      edgeSpacingNs: seen,
      readJitterNs: seen,
      clockPpm: guessed,
      sampleAfterEdgeNs: guessed,
      samples: guessed,
      sixButtons: guessed,
      drive: guessed,
      takesOpposite: guessed,
    })
    expect(short.captures).toEqual([])
  })

  it('names the capture that it was seen in', () => {
    const capture = { sha256: '0123456789abcdef'.repeat(4), name: 'lamp-room.vcd', bytes: 4_321 }
    const named = inferred(simulate(plain, { frames: 120 }), { ...ORIGIN, capture }).short
    expect(named.captures).toEqual([capture])
    expect(named.sources.edgeSpacingNs).toEqual({
      kind: 'measured',
      seen: 120,
      of: 120,
      capture: capture.sha256,
    })
    expect(named.sources.samples).toEqual({ kind: 'guessed' })
  })

  it('stands in the notes of the title', () => {
    const lines = title.notes.split('\n')
    expect(lines[0]).toBe('Inferred from the edges of select in lamp-room.vcd.')
    expect(lines.slice(1)).toEqual(findings.map(findingLine))
  })
})

describe('what is odd about a capture', () => {
  it('a read that is long enough may be one of six buttons, from either rest', () => {
    const shapeOf = (rest: Pattern['rest'], cycles: number) =>
      valueOf(inferred(simulate({ ...plain, rest, cycles }, { frames: 20 })).findings, 'six-buttons')
    // The third low from rest high identifies, the fourth high has the extra buttons; from rest low the opening rise counts
    // (common practice, no source).
    expect(shapeOf('high', 3)).toBeNull()
    expect(shapeOf('high', 4)).toEqual({ identifiedInCycle: 3, extraInCycle: 4 })
    expect(shapeOf('low', 2)).toBeNull()
    expect(shapeOf('low', 3)).toEqual({ identifiedInCycle: 2, extraInCycle: 3 })
  })

  it('frames that are skipped', () => {
    const { findings, short } = inferred(simulate(plain, { frames: 100, skips: (k) => k >= 40 && k < 70 }))
    const { count, firstNs } = valueOf(findings, 'skipped-frames')
    expect(count).toBe(30)
    expect(Math.abs(firstNs - 40 * frameNs('525-line'))).toBeLessThan(frameNs('525-line'))
    expect(short.standard).toBe('525-line')
    expect(found(findings, 'reads-per-frame')).toMatchObject({
      sureness: 'sure',
      evidence: { seen: 70, of: 70, things: 'frames' },
    })
  })

  it('a title that reads every second frame', () => {
    const { findings } = inferred(simulate(plain, { frames: 60, skips: (k) => k % 2 === 1 }))
    expect(valueOf(findings, 'frame-rate').everyFrames).toBe(2)
    expect(valueOf(findings, 'standard').standard).toBe('525-line')
    expect(found(findings, 'standard')?.sureness).toBe('likely')
  })

  it('a title that skips so many frames that most of its reads are two frames apart', () => {
    const { findings } = inferred(
      simulate(plain, { frames: 60, skips: (k) => ![0, 2, 4, 5].includes(k % 7) }),
    )
    expect(valueOf(findings, 'frame-rate').everyFrames).toBe(1)
    expect(valueOf(findings, 'frame-rate').hz).toBeCloseTo(frameHz('525-line'), 3)
    expect(valueOf(findings, 'skipped-frames').count).toBe(25)
  })

  it('a clock that is off, told as the console has it: a longer frame is a slow one', () => {
    const { short, findings } = inferred(simulate(plain, { frames: 60, ppm: 500 }))
    const standard = found(findings, 'standard')
    // A period longer by 500 ppm is a rate lower by as many, to the first order.
    expect(standard?.value.ppm).toBeCloseTo(-500, 0)
    expect(standard && findingLine(standard)).toBe(
      'Video standard: 525-line, 500 ppm slow (sure, 60 of 60 frames)',
    )
    expect(short.clockPpm).toBeGreaterThanOrEqual(500)
    expect(short.clockPpm).toBeLessThanOrEqual(501)
  })

  it('few frames with late reads: the standard is found, but cannot be sure', () => {
    for (let seed = 1; seed <= 50; seed++) {
      const { findings } = inferred(simulate({ ...plain, jitterNs: 900_000 }, { frames: 4, seed }))
      expect(found(findings, 'standard')).toMatchObject({
        sureness: 'likely',
        value: { standard: '525-line' },
      })
    }
  })

  it('a frame that the capture begins or ends in is not uneven', () => {
    const twice = { ...plain, offsetsNs: [250_000, 3_000_000] }
    const lengthNs = frameNs('525-line')
    const { short, findings } = inferred(
      simulate(twice, { frames: 30, fromNs: 1_000_000, toNs: 29 * lengthNs + 1_000_000 }),
    )
    expect(short.readOffsetsNs).toHaveLength(2)
    expect(found(findings, 'uneven-frames')).toBeUndefined()
    expect(found(findings, 'reads-per-frame')).toMatchObject({
      sureness: 'sure',
      evidence: { seen: 28, of: 28 },
    })
  })

  it('reads so close together that they may be one', () => {
    const of = (apartNs: number) => {
      const offsetsNs = [250_000, 250_000 + apartNs]
      return inferred(simulate({ ...plain, cycles: 1, offsetsNs }, { frames: 30 })).findings
    }
    // The rest between them is as long as they are apart, without the phase of 2.6 µs that a read has from edge to edge.
    const close = of(30_000)
    expect(valueOf(close, 'gaps')).toMatchObject({ minNs: 27_400, clear: false })
    expect(found(close, 'cycles-per-read')).toMatchObject({ value: 1, sureness: 'likely' })
    expect(valueOf(of(60_000), 'gaps').clear).toBe(true)
    expect(found(of(60_000), 'cycles-per-read')?.sureness).toBe('sure')
  })

  it('reads of another length, the usual one taken', () => {
    const line = simulate(plain, { frames: 60, cyclesOf: (frame) => (frame % 10 === 3 ? 4 : 2) })
    const { findings, short } = inferred(line)
    expect(short.cyclesPerRead).toBe(2)
    const fourth = line.reads[3]?.edgesNs[0]
    expect(valueOf(findings, 'other-reads')).toEqual([{ cycles: 4, reads: 6, firstNs: fourth }])
    expect(found(findings, 'cycles-per-read')).toMatchObject({
      sureness: 'likely',
      evidence: { seen: 54, of: 60, things: 'reads' },
    })
  })

  it('frames with a read more', () => {
    const twice = { ...plain, offsetsNs: [250_000, 3_000_000] }
    const line = simulate(twice, { frames: 60 })
    const [extraNs] = [line.reads[50]?.edgesNs[0] ?? 0]
    const pulse = [extraNs + 1_000_000, extraNs + 1_005_000]
    const timesNs = Float64Array.from([...line.timesNs, ...pulse]).sort()
    const values = Uint8Array.from(timesNs, (_, k) => (k + 1) % 2)
    const { findings, short } = inferred({ ...line, timesNs, values })
    expect(short.readOffsetsNs).toEqual([0, 2_750_000])
    expect(short.edgeSpacingNs).toEqual(plain.spacingNs)
    expect(valueOf(findings, 'uneven-frames').count).toBe(1)
    expect(valueOf(findings, 'other-reads')).toMatchObject([{ cycles: 1, reads: 1, firstNs: pulse[0] }])
  })

  it('a capture that is cut in the middle of a read, at either end', () => {
    const whole = simulate(plain, { frames: 30 })
    const first = whole.reads[0]?.edgesNs ?? []
    const last = whole.reads[29]?.edgesNs ?? []
    const cut = simulate(plain, { frames: 30, fromNs: (first[0] ?? 0) + 1_000, toNs: (last[2] ?? 0) + 1_000 })
    const { findings, short } = inferred(cut)
    expect(valueOf(findings, 'cut-reads')).toEqual({ atStart: true, atEnd: true })
    expect(short.cyclesPerRead).toBe(2)
    expect(found(findings, 'cycles-per-read')?.evidence).toEqual({ seen: 28, of: 28, things: 'reads' })
    expect(found(findings, 'other-reads')).toBeUndefined()
  })

  it('a read in which the level is unknown is left out', () => {
    const line = simulate(plain, { frames: 30 })
    const values = line.values.slice()
    values[2 + 4 * 7] = 2
    const { findings, short } = inferred({ ...line, values })
    expect(valueOf(findings, 'broken-reads')).toEqual({ count: 1, firstNs: line.reads[7]?.edgesNs[0] })
    expect(valueOf(findings, 'unknown')).toEqual({ count: 1, firstNs: line.reads[7]?.edgesNs[1] })
    expect(valueOf(findings, 'skipped-frames').count).toBe(1)
    expect(short.cyclesPerRead).toBe(2)
  })

  it('a line that is not driven is high', () => {
    const line = simulate(plain, { frames: 30 })
    const values = line.values.map((value) => (value === 1 ? 3 : value))
    const floating = inferred({ ...line, values })
    const driven = inferred(line)
    expect(valueOf(floating.findings, 'undriven')).toEqual({ count: 61, firstNs: 0 })
    expect({ ...floating.title, notes: '' }).toEqual({ ...driven.title, notes: '' })
  })

  it('what nobody has driven yet is no unknown level', () => {
    const line = simulate(plain, { frames: 30 })
    const early = { ...line, timesNs: line.timesNs.slice(), values: line.values }
    early.timesNs[0] = 50
    const { findings } = inferred({
      ...early,
      timesNs: Float64Array.from([0, ...early.timesNs]),
      values: Uint8Array.from([2, ...early.values]),
    })
    expect(found(findings, 'unknown')).toBeUndefined()
    expect(found(findings, 'cut-reads')).toBeUndefined()
    expect(found(findings, 'broken-reads')).toBeUndefined()
  })

  it('a late read now and then is a stray', () => {
    const line = simulate(plain, { frames: 60 })
    const timesNs = line.timesNs.slice()
    for (let k = 1 + 4 * 20; k < 1 + 4 * 21; k++) timesNs[k] = (timesNs[k] ?? 0) + 5_000_000
    const { findings, short } = inferred({ ...line, timesNs })
    expect(valueOf(findings, 'strays')).toBe(1)
    expect(short.readJitterNs).toBeLessThan(10)
  })

  it('frames of neither standard tie nothing', () => {
    const timesNs = [0]
    for (let frame = 0; frame < 100; frame++)
      for (const edge of [0, 2_600, 5_200, 7_800]) timesNs.push(13_333_333 * frame + 500_000 + edge)
    const { title, findings } = untiedIn(timesNs)
    expect(title.modes[0]?.reads[0]?.starts.kind).toBe('interval')
    // 13.333333 ms without three phases of 2.6 µs.
    expect(valueOf(findings, 'untied')).toEqual({ minNs: 13_325_533, maxNs: 13_325_533 })
    expect(title.leftOver).toBeUndefined()
  })

  it('reads that are late together by more than there is room for are tied to no frame', () => {
    const offsetsNs = [0, 300_000]
    const next = random(3)
    const timesNs = [0]
    for (let frame = 0; frame < 60; frame++) {
      const lateNs = Math.floor(next() * 800_000)
      for (const offsetNs of offsetsNs)
        for (const edge of [0, 5_000, 10_000, 15_000])
          timesNs.push(frame * frameNs('625-line') + 100_000 + lateNs + offsetNs + edge)
    }
    const { title, findings } = untiedIn(timesNs, 60 * frameNs('625-line'))
    expect(title.modes[0]?.reads[0]?.starts.kind).toBe('interval')
    expect(valueOf(findings, 'untied').minNs).toBe(285_000)
    expect(title.leftOver).toBeUndefined()
  })
})

/** Where no frame ties the reads, the title has no short form. */
function untiedIn(timesNs: readonly number[], endNs = 1_333_333_300): Inferred {
  const changes = timesNs.map((ns, k): [number, string] => [ns, '10'[k % 2] ?? ''])
  const result = inferTitle(edgesOf(changes, endNs), ORIGIN)
  if (!result.ok) throw new Error(faultSentence(result.error))
  return result.value
}

describe('glitches', () => {
  it('are counted and left over, wherever they come', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 60 }), fc.nat(), (glitches, seed) => {
        const clean = inferred(simulate(plain, { frames: 20 }))
        const { findings, title } = inferred(simulate(plain, { frames: 20, seed, glitches }))
        expect(valueOf(findings, 'glitches').count).toBe(glitches)
        const { leftOver, ...pattern } = title
        expect({ ...pattern, notes: '' }).toEqual({ ...clean.title, notes: '' })
        expect(leftOver?.stretches.length ?? 0).toBeGreaterThan(0)
      }),
      { numRuns: 60 },
    )
  })

  it('by the million take no more memory than without', () => {
    const line = simulate(plain, { frames: 20 })
    // All in the rest after the first read, which ends at 0.26 ms: 12 ms of pulses 6 ns long.
    const PULSES = 1_000_000
    const timesNs = new Float64Array(line.timesNs.length + 2 * PULSES)
    timesNs.set(line.timesNs.subarray(0, 5))
    for (let k = 0; k < 2 * PULSES; k++) timesNs[5 + k] = 1_000_000 + 6 * k
    timesNs.set(line.timesNs.subarray(5), 5 + 2 * PULSES)
    const values = new Uint8Array(timesNs.length).map((_, k) => (k + 1) % 2)
    const { findings, title } = inferred({ ...line, timesNs, values })
    expect(valueOf(findings, 'glitches')).toEqual({ count: PULSES, firstNs: 1_000_000 })
    const { leftOver, ...pattern } = title
    expect({ ...pattern, notes: '' }).toEqual({ ...inferred(line).title, notes: '' })
    expect(leftOver).toEqual({ stretches: [], more: 1 })
  })
})

describe('what is no title is refused with its reason', () => {
  it.each<[string, Edges, InferFault['kind'], RegExp]>([
    ['nothing', edgesOf([], 0), 'empty', /nothing about this line/],
    ['no edge', edgesOf([[0, '1']], 1e9), 'constant', /^This line is high all the time/],
    ['no level', edgesOf([[0, 'x']], 1e9), 'never-known', /unknown all the time/],
    [
      'only unknown between equal levels',
      edgesOf(
        [
          [0, '0'],
          [1e6, 'x'],
          [2e6, '0'],
        ],
        1e9,
      ),
      'constant',
      /^This line is low all the time/,
    ],
    [
      'a clock',
      edgesOf(
        Array.from({ length: 4_000 }, (_, k) => [500 * k, '01'[k % 2] ?? '']),
        2_000_000,
      ),
      'clock',
      /a clock of 1\.0000 MHz/,
    ],
    [
      'a clock that is mostly high',
      edgesOf(
        Array.from({ length: 4_000 }, (_, k) => [32_000 * (k >> 1) + 4_700 * (k % 2), '01'[k % 2] ?? '']),
        64e6,
      ),
      'clock',
      /a clock of 31\.2500 kHz/,
    ],
    [
      'a line that is always busy',
      edgesOf(
        Array.from({ length: 2_000 }, (_, k) => [1_000 * k + 700 * (k % 7), '01'[k % 2] ?? '']),
        2_000_000,
      ),
      'never-rests',
      /is never idle/,
    ],
  ])('%s', (_, edges, kind, sentence) => {
    const error = fault(edges)
    expect(error.kind).toBe(kind)
    expect(faultSentence(error)).toMatch(sentence)
  })

  it('a data line: edges at any time', () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const next = random(seed)
        let ns = 0
        const changes = Array.from({ length: 300 }, (_, k): [number, string] => {
          ns += Math.floor(1_000 * 10 ** (5 * next()))
          return [ns, '01'[k % 2] ?? '']
        })
        expect(fault(edgesOf(changes, ns + 1e6)).kind).toBe('irregular')
      }),
      { numRuns: draws(1_000) },
    )
  })

  it('fewer than three frames, with what could be found', () => {
    for (const frames of [1, 2]) {
      const error = fault(simulate({ ...plain, cycles: 4 }, { frames }))
      expect(error).toMatchObject({ kind: 'too-short', frames })
      expect(valueOf(error.findings, 'rest')).toBe('high')
      expect(valueOf(error.findings, 'cycles-per-read')).toBe(4)
      expect(valueOf(error.findings, 'edge-spacing')).toEqual({ minNs: 2_600, maxNs: 2_600 })
    }
    expect(faultSentence(fault(simulate(plain, { frames: 1 })))).toMatch(/^1 frame cannot show/)
    expect(inferTitle(simulate(plain, { frames: 3 }), ORIGIN).ok).toBe(true)
  })

  it('three frames are enough, but make nothing sure', () => {
    const { findings } = inferred(simulate(plain, { frames: 3 }))
    expect(findings.filter(({ sureness }) => sureness === 'sure')).toEqual([])
    expect(found(findings, 'reads-per-frame')?.sureness).toBe('likely')
  })

  it('a read that is longer than a title file can say', () => {
    const error = fault(simulate({ ...plain, cycles: 20 }, { frames: 20 }))
    expect(error.kind).toBe('no-title')
    expect(faultSentence(error)).toMatch(/cyclesPerRead/)
    expect(valueOf(error.findings, 'cycles-per-read')).toBe(20)
  })
})

it('the title has a sound name and sound notes, whatever the file is called', () => {
  const line = simulate(plain, { frames: 12 })
  fc.assert(
    fc.property(
      fc.string({ unit: 'binary', maxLength: 400 }),
      fc.string({ unit: 'binary', maxLength: 3_000 }),
      (name, source) => {
        const result = inferTitle(line, { name: `${name}\ud800`, source: `${source}\udc00` })
        expect(result.ok && result.value.title.name).not.toBe('')
        expect(result.ok && result.value.title.notes.split('\n').at(-1)).toBe(
          'Select high is: driven (guess)',
        )
      },
    ),
  )
  const named = (name: string) => {
    const result = inferTitle(line, { name, source: 'a line' })
    return result.ok && result.value.title.name
  }
  expect(named(' \t ')).toBe('Inferred title')
  expect(named('x'.repeat(80))).toBe('x'.repeat(60))
  expect(named(`${'x'.repeat(59)}😀`)).toBe('x'.repeat(59))
})

it('any edges at all give a title or a fault, in order, and nothing is thrown', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.tuple(
          fc.oneof(fc.integer({ min: 0, max: 300 }), fc.integer({ min: 0, max: 20_000_000 })),
          fc.constantFrom('0', '1', 'x', 'z'),
        ),
        { maxLength: 200 },
      ),
      fc.nat(30_000_000),
      (steps, afterNs) => {
        let ns = 0
        const changes = steps.map(([stepNs, value]): [number, string] => [(ns += stepNs), value])
        const result = inferTitle(edgesOf(changes, ns + afterNs), ORIGIN)
        const findings = result.ok ? result.value.findings : result.error.findings
        for (const finding of findings) expect(findingLine(finding)).not.toMatch(/NaN|Infinity|undefined/)
        if (!result.ok) expect(faultSentence(result.error)).not.toMatch(/NaN|Infinity|undefined/)
      },
    ),
    { numRuns: draws(2_000) },
  )
})
