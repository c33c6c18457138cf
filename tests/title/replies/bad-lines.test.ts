import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findingWords } from '../../../src/title/infer/finding-words.ts'
import { padFindings } from '../../../src/title/replies/pad-findings.ts'
import type { PadValues, PadWhat } from '../../../src/title/replies/pad-findings.ts'
import { random, simulate } from '../infer/simulate.ts'
import { measured } from './measure.ts'
import { dumpLines, padLines, PIN_NAMES, selectChanges } from './pad-lines.ts'
import type { Hold, Line, LineChange, OriginalPad } from './pad-lines.ts'

const PAD: OriginalPad = { kind: 'six-stay', replyNs: 40, idleResetNs: 1_500_000 }

function lineOf(cycles: number, offsetsNs: readonly number[], frames = 30): Line {
  const { timesNs, values, endNs } = simulate(
    {
      standard: '525-line',
      offsetsNs,
      cycles,
      spacingNs: { minNs: 3_000, maxNs: 3_400 },
      rest: 'high',
      jitterNs: 2_000,
    },
    { frames },
  )
  return { startsHigh: values[0] === 1, edgesNs: [...timesNs].slice(1), endNs }
}

const FOUR_CYCLES = lineOf(4, [200_000])
const nothing: readonly Hold[] = [{ fromNs: 0, held: new Set() }]

type Lines = Map<string, readonly LineChange[]>

function linesOf(pad: OriginalPad, line: Line, holds = nothing): Lines {
  const data = padLines(pad, line, holds)
  return new Map([
    ['select', selectChanges(line)],
    ...PIN_NAMES.map((pin, k) => [`pin${pin}`, data[k] ?? []] as const),
  ])
}

async function findingsOf(lines: Lines, line = FOUR_CYCLES) {
  const found = padFindings(await measured(dumpLines(lines, line.endNs)))
  const value = <W extends PadWhat>(what: W): PadValues[W] | undefined =>
    found.find((one) => one.what === what)?.value as PadValues[W] | undefined
  return { value, whats: found.map(({ what }) => what), words: found.map(findingWords) }
}

const CLAIMS_NOTHING: readonly PadWhat[] = ['pad-lines', 'pad-table']
const NEITHER =
  /^neither a three-button nor a six-button pad, so nothing is concluded from the replies; check which probe/

describe('data lines that are not what they are called', () => {
  it('are six sound ones to begin with', async () => {
    const { value, words } = await findingsOf(linesOf(PAD, FOUR_CYCLES))
    expect(value('pad-table')).toEqual({ table: 'six-buttons', after: null })
    expect(value('pad-reply')).toMatchObject({ minNs: 39, maxNs: 41, stepNs: 1 })
    expect(words).toContain('39 ns to 41 ns after an edge of select; every time is known to within 1 ns')
  })

  it.each([
    ['1', '3'],
    ['2', '4'],
    ['3', '6'],
    ['4', '9'],
    ['1', '9'],
  ])('pins %s and %s swapped: nothing is claimed', async (one, other) => {
    const lines = linesOf(PAD, FOUR_CYCLES, [{ fromNs: 0, held: new Set(['a']) }])
    const [first, second] = [lines.get(`pin${one}`) ?? [], lines.get(`pin${other}`) ?? []]
    lines.set(`pin${one}`, second).set(`pin${other}`, first)
    const { whats, words } = await findingsOf(lines)
    expect(whats).toEqual(CLAIMS_NOTHING)
    expect(words[1]).toMatch(NEITHER)
  })

  it.each(['1', '2', '3', '4'])('pin %s inverted: nothing is claimed', async (pin) => {
    const lines = linesOf(PAD, FOUR_CYCLES)
    const turned = (lines.get(`pin${pin}`) ?? []).map(({ atNs, isHigh }) => ({ atNs, isHigh: !isHigh }))
    const { whats, words } = await findingsOf(lines.set(`pin${pin}`, turned))
    expect(whats).toEqual(CLAIMS_NOTHING)
    expect(words[1]).toMatch(NEITHER)
  })

  it('pin 6 inverted looks like A and B held, and that is said', async () => {
    const lines = linesOf(PAD, FOUR_CYCLES)
    const { words } = await findingsOf(lines.set('pin6', [{ atNs: 0, isHigh: false }]))
    expect(words).toContain(
      'A in 30 of 30 reads, B in 30 of 30 reads; A and B together all the time, which an inverted line looks like, too',
    )
  })

  it('select in the place of every pin, or the pins in the place of select: nothing is claimed', async () => {
    const lines = linesOf(PAD, FOUR_CYCLES)
    for (const pin of PIN_NAMES) lines.set(`pin${pin}`, lines.get('select') ?? [])
    expect((await findingsOf(lines)).whats).toEqual(CLAIMS_NOTHING)
    const turned = linesOf(PAD, FOUR_CYCLES)
    turned.set('select', turned.get('pin3') ?? []).set('pin3', selectChanges(FOUR_CYCLES))
    expect((await findingsOf(turned)).whats).toEqual(CLAIMS_NOTHING)
  })

  it('lines that never change are told, and what to do', async () => {
    const lines = linesOf(PAD, FOUR_CYCLES)
    for (const pin of PIN_NAMES) lines.set(`pin${pin}`, [{ atNs: 0, isHigh: true }])
    const { whats, words } = await findingsOf(lines)
    expect(whats).toEqual(CLAIMS_NOTHING)
    expect(words[1]).toBe(
      'nothing: no data line ever changes; check the probes, and that the pad has its supply',
    )
  })

  it('a line that is missing, and one that is stuck, are told; the others say what they can', async () => {
    const lines = linesOf(PAD, FOUR_CYCLES)
    lines.delete('pin2')
    lines.delete('pin9')
    const { value, words } = await findingsOf(lines)
    expect(words[0]).toBe('pins 1, 3, 4 and 6; pins 2 and 9 are not in the capture; pin 6 never changes')
    expect(value('pad-table')).toMatchObject({ table: 'six-buttons' })
    expect(value('pad-held')?.map(({ input }) => input)).toEqual([
      ...['up', 'left', 'right', 'a', 'b', 'x', 'z', 'mode'],
    ])
    const stuck = linesOf(PAD, FOUR_CYCLES).set('pin3', [{ atNs: 0, isHigh: true }])
    const found = await findingsOf(stuck)
    expect(found.whats).toEqual(CLAIMS_NOTHING)
    expect(found.words[0]).toMatch(/; pins 3, 6 and 9 never change$/)
  })

  it('with pin 6 alone nothing tells the pads apart', async () => {
    const lines = linesOf(PAD, FOUR_CYCLES, [{ fromNs: 0, held: new Set(['a']) }])
    for (const pin of PIN_NAMES) if (pin !== '6') lines.delete(`pin${pin}`)
    const { value, words } = await findingsOf(lines)
    expect(value('pad-table')).toEqual({ table: 'either' })
    expect(words).toContain('A in 30 of 30 reads')
  })

  it('noise of any kind ends with a sentence, and claims no pad', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.nat(1_000_000),
        fc.integer({ min: 20_000, max: 400_000 }),
        async (seed, everyNs) => {
          const next = random(seed)
          const noise = (): LineChange[] => {
            const changes: LineChange[] = [{ atNs: 0, isHigh: next() < 0.5 }]
            let atNs = 0
            while ((atNs += 1 + Math.floor(next() * 2 * everyNs)) < FOUR_CYCLES.endNs)
              changes.push({ atNs, isHigh: !changes.at(-1)?.isHigh })
            return changes
          }
          const lines = linesOf(PAD, FOUR_CYCLES)
          for (const pin of PIN_NAMES) lines.set(`pin${pin}`, noise())
          const { whats, words } = await findingsOf(lines)
          expect(whats).toEqual(CLAIMS_NOTHING)
          expect(words[1]).toMatch(/^neither|^a pad that too few reads tell/)
        },
      ),
      { numRuns: 20 },
    )
  })
})

describe('a pad that contradicts itself', () => {
  it('forgets after a shorter rest and not after a longer one: both are said, with their places', async () => {
    const line = lineOf(4, [200_000, 2_200_000])
    const [slow, fast] = [2_500_000, 1_200_000].map((idleResetNs) =>
      padLines({ ...PAD, idleResetNs }, line, nothing),
    )
    // Both frames are whole: the reset of the pad changes from one to the next.
    const changeNs = 250_000_000
    const lines: Lines = new Map([['select', selectChanges(line)]])
    PIN_NAMES.forEach((pin, k) =>
      lines.set(`pin${pin}`, [
        ...(slow?.[k] ?? []).filter(({ atNs }) => atNs < changeNs),
        ...(fast?.[k] ?? []).filter(({ atNs }) => atNs >= changeNs),
      ]),
    )
    const { value, words } = await findingsOf(lines, line)
    const { contradicts, longest, shortest } = value('pad-idle-reset') ?? {}
    expect(contradicts).toBe(true)
    expect(longest?.atNs).toBeLessThan(changeNs)
    expect(shortest?.atNs).toBeGreaterThan(changeNs)
    expect(longest?.ns).toBeGreaterThan(shortest?.ns ?? Infinity)
    expect(words.find((said) => said.startsWith('contradictory'))).toMatch(
      /^contradictory: no reset in 1\.\d+ ms without a rising edge, [\d.]+ ms into the capture, but one in 1\.\d+ ms, [\d.]+ ms into it; the time varies/,
    )
  })

  it('is another pad from the middle on: nothing is claimed', async () => {
    const three = padLines({ ...PAD, kind: 'three' }, FOUR_CYCLES, nothing)
    const six = linesOf(PAD, FOUR_CYCLES)
    PIN_NAMES.forEach((pin, k) =>
      six.set(`pin${pin}`, [
        ...(six.get(`pin${pin}`) ?? []).filter(({ atNs }) => atNs < FOUR_CYCLES.endNs / 2),
        ...(three[k] ?? []).filter(({ atNs }) => atNs >= FOUR_CYCLES.endNs / 2),
      ]),
    )
    expect((await findingsOf(six)).whats).toEqual(CLAIMS_NOTHING)
  })

  it('and a select line with samples too far apart: no idle reset is claimed', async () => {
    const line = lineOf(4, [200_000, 2_200_000])
    const sampled = (changes: readonly LineChange[]) =>
      changes.map(({ atNs, isHigh }) => ({ atNs: 1_250 * Math.ceil(atNs / 1_250), isHigh }))
    const lines = new Map([...linesOf(PAD, line)].map(([name, changes]) => [name, sampled(changes)] as const))
    const { words, whats } = await findingsOf(lines, line)
    expect(whats).toContain('pad-idle-reset-hidden')
    expect(whats).not.toContain('pad-idle-reset')
    expect(words).toContain(
      'not measured: samples 1.25 µs apart can miss a rising edge; capture at 4 MHz or more',
    )
  })
})

describe('changes without an edge', () => {
  it('are presses where a pin carries the same input, and resets where a fixed level turns', async () => {
    // Idles low: the end mark stands on the pins until the pad forgets.
    const { timesNs, endNs } = simulate(
      {
        standard: '525-line',
        offsetsNs: [300_000],
        cycles: 3,
        spacingNs: { minNs: 3_000, maxNs: 3_300 },
        rest: 'low',
        jitterNs: 900,
      },
      { frames: 12 },
    )
    const line: Line = { startsHigh: false, edgesNs: [...timesNs].slice(1), endNs }
    const holds = [
      { fromNs: 0, held: new Set<string>() },
      { fromNs: 60_000_000, held: new Set(['a']) },
      { fromNs: 95_000_000, held: new Set<string>() },
    ]
    const { value } = await findingsOf(linesOf(PAD, line, holds), line)
    expect(value('pad-changes')).toMatchObject({
      presses: { count: 2, firstNs: 60_000_000 },
      resets: { count: 12 },
      either: { count: 0 },
    })
    // Each reset is seen by itself, a reply after it came.
    expect(value('pad-idle-reset')).toMatchObject({ shown: 11, contradicts: false, maxNs: 1_500_041 })
    expect(value('pad-idle-reset')?.minNs).toBeGreaterThan(1_499_900)
    expect(value('pad-held')?.find(({ input }) => input === 'a')).toEqual({ input: 'a', held: 2, of: 12 })
  })
})
