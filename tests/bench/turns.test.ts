import { describe, expect, it } from 'vitest'
import { findAlong } from '../../src/bench/along.ts'
import { judge } from '../../src/bench/judge.ts'
import type { Judgement } from '../../src/bench/judgement.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { changeWords, stretchWords } from '../../src/bench/turn-words.ts'
import { findTurns } from '../../src/bench/turns.ts'
import type { Turn } from '../../src/bench/turns.ts'
import type { RangeNs } from '../../src/port/range.ts'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { knownFigures } from '../../src/title/known-figures.ts'
import type { Title } from '../../src/title/schema.ts'
import { layOutTitle } from '../../src/title/steps/lay-out-title.ts'
import { timeFigures, withFigure } from '../../src/title/time-figures.ts'
import type { TimeFigure } from '../../src/title/time-figures.ts'
import { PLAIN } from './plain-titles.ts'
import { withShort } from './short-titles.ts'

const six = BUILT_IN_PROFILES['six-button']
const three = BUILT_IN_PROFILES['three-button']
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }

/** One that samples between so much and so much after each edge. */
const sampling = (minNs: number, maxNs: number): Title =>
  withShort(PLAIN.burst, {
    sampleAfterEdgeNs: { minNs, maxNs },
    edgeSpacingNs: { minNs: 4_000, maxNs: 5_000 },
  })

const figureOf = (title: Title, kind: TimeFigure['kind']): TimeFigure => {
  const found = timeFigures(title).find((figure) => figure.kind === kind)
  if (!found) throw new Error(`no ${kind}`)
  return found
}

const judged = (title: Title): Judgement => judge(three, title, options)

const turnsOf = (title: Title) =>
  workToEnd(findTurns({ profile: three, title, judgement: judged(title), options }))

const sampleTurn = (title: Title): Turn | null =>
  turnsOf(title)[timeFigures(title).findIndex(({ kind }) => kind === 'sample')] ?? null

const verdictWith = (title: Title, change: Partial<RangeNs>) => {
  const figure = figureOf(title, 'sample')
  return judged(withFigure(title, figure, { ...figure.range, ...change })).verdict
}

/** The reply of the reference adapter with its cable can take 178 ns: 100 ns and 78 ns of `src/port/cable.ts`; asked for are 200 ns to spare. */
const SLOWEST_NS = 178
const CLEAN_NS = SLOWEST_NS + DEFAULT_MARGIN_NS

describe('what would change a verdict', () => {
  it('is where the tightest sample has the margin that is asked for: one ns before it the verdict is another', () => {
    const tight = sampling(240, 1_000)
    expect(judged(tight)).toMatchObject({ verdict: 'tight', marginNs: 240 - SLOWEST_NS })
    expect(sampleTurn(tight)).toEqual({ end: 'minNs', ns: CLEAN_NS, then: 'clean' })
    expect(verdictWith(tight, { minNs: CLEAN_NS - 1 })).toBe('tight')
    expect(verdictWith(tight, { minNs: CLEAN_NS })).toBe('clean')

    const clean = sampling(900, 1_000)
    expect(sampleTurn(clean)).toEqual({ end: 'minNs', ns: CLEAN_NS, then: 'tight' })
    expect(verdictWith(clean, { minNs: CLEAN_NS })).toBe('clean')
  })

  it('is how much later a sample has to come that comes too soon', () => {
    const misread = sampling(100, 1_000)
    expect(judged(misread).verdict).toBe('misread')
    // At the very instant of the reply it has no margin and misreads.
    expect(sampleTurn(misread)).toEqual({ end: 'minNs', ns: SLOWEST_NS + 1, then: 'tight' })
    expect(verdictWith(misread, { minNs: SLOWEST_NS })).toBe('misread')
  })

  it('is nothing where no time helps, and of no figure that is not near the tightest sample', () => {
    const byCount = judge(six, PLAIN.burst, options)
    expect(byCount.counterexample?.cause).toBe('count')
    const turns = workToEnd(findTurns({ profile: six, title: PLAIN.burst, judgement: byCount, options }))
    expect(turns.every((turn) => turn === null)).toBe(true)
    const tight = sampling(240, 1_000)
    const figures = timeFigures(tight)
    for (const [k, turn] of turnsOf(tight).entries())
      if (turn !== null) expect(['sample', 'edge']).toContain(figures[k]?.kind)
  })

  it('is said with the figure', () => {
    const words = (title: Title) => {
      const turns = turnsOf(title)
      return knownFigures(title)
        .map((one) => [one.name, changeWords(one, judged(title), turns)] as const)
        .filter(([, change]) => change !== '')
    }
    expect(words(sampling(240, 1_000))).toEqual([
      ['Edge to sample', 'Tight until it is 378 ns or more: then clean.'],
    ])
    expect(words(sampling(900, 1_000))[0]).toEqual(['Edge to sample', 'Clean down to 378 ns; less is tight.'])
    expect(words(sampling(100, 1_000))[0]).toEqual([
      'Edge to sample',
      'Misread until it is 179 ns or more: then tight.',
    ])
  })

  it('is of an undecided title what it depends on, with what that is about', () => {
    const guessed = sampling(100, 1_000)
    const figure = figureOf(guessed, 'sample')
    const title = withFigure(guessed, figure, figure.range, { kind: 'guessed' })
    const judgement = judged(title)
    expect(judgement.verdict).toBe('undecided')
    const changes = knownFigures(title).map((one) => [one.name, changeWords(one, judgement, null)])
    expect(changes.filter(([, change]) => change !== '')).toEqual([
      [
        'Edge to sample',
        expect.stringMatching(/^Misread if it samples .* as soon as 100 ns after the edge\.$/),
      ],
    ])
  })
})

describe('the verdict along a figure', () => {
  const title = sampling(1_000, 2_600)
  const figure = figureOf(title, 'sample')
  const along = workToEnd(findAlong({ profile: three, title, figure, options }))
  if (along === null) throw new Error('nothing fits')

  it('turns where the reply ends, and where the margin that is asked for does', () => {
    expect(along.stretches.slice(0, 3).map(({ fromNs, verdict }) => [fromNs, verdict])).toEqual([
      [0, 'misread'],
      [SLOWEST_NS + 1, 'tight'],
      [CLEAN_NS, 'clean'],
    ])
  })

  it('goes as far as the other figures let it, without a gap, and is what judging says on both sides of every turn', () => {
    expect(along.leastNs).toBe(0)
    const fits = (ns: number) => layOutTitle(withFigure(title, figure, { minNs: ns, maxNs: ns })).ok
    expect(fits(along.mostNs)).toBe(true)
    expect(along.stretches[0]?.fromNs).toBe(along.leastNs)
    expect(along.stretches.at(-1)?.untilNs).toBe(along.mostNs)
    along.stretches.forEach(({ fromNs, untilNs, verdict }, k) => {
      if (k > 0) expect(fromNs).toBe((along.stretches[k - 1]?.untilNs ?? NaN) + 1)
      for (const ns of [fromNs, untilNs])
        expect(judged(withFigure(title, figure, { minNs: ns, maxNs: ns })).verdict, `${ns}`).toBe(verdict)
    })
    expect(along.stretches.map(stretchWords)[0]).toBe('0 ns to 178 ns')
  })

  it('is nothing where no one time fits', () => {
    const crossing = { ...figure, range: { minNs: 50_000, maxNs: 60_000 } }
    const moved = withFigure(title, figure, crossing.range)
    expect(workToEnd(findAlong({ profile: three, title: moved, figure: crossing, options }))).toBeNull()
  })
})
