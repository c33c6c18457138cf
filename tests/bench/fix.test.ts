import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findingFixes } from '../../src/bench/fix.ts'
import { CHANGE_KINDS, CHART_KINDS, changesOf, metWith, withChange } from '../../src/bench/fix/grid.ts'
import type { Change, ChangeKind } from '../../src/bench/fix/grid.ts'
import { costWords, fixWords } from '../../src/bench/fix/change-words.ts'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { CELLS } from '../../src/port/chart.ts'
import { INPUTS, PINS } from '../../src/port/pins.ts'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbTypicalProfile } from './arbitrary-profile.ts'
import { arbTitle } from './arbitrary-title.ts'
import { PLAIN } from './plain-titles.ts'
import { withShort } from './short-titles.ts'

const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const { 'six-button': six, 'three-button': three } = BUILT_IN_PROFILES

function demo(name: string): Title {
  const title = readTitle(readFileSync(new URL(`../../static/demo/titles/${name}.json`, import.meta.url)))
  if (!title.ok) throw new Error(title.error.message)
  return title.value
}

const words = (profile: Profile, titles: readonly Title[]): string[] =>
  workToEnd(findingFixes(profile, titles, options)).fixes.map((fix) =>
    fixWords(fix.changes, profile, (control) => control),
  )

/** A profile that the adapter takes: charts and delays of the property tests go further than that. */
const arbProfile = arbTypicalProfile.map((profile): Profile => ({
  ...profile,
  delayNs: profile.delayNs === 0 ? 0 : 24,
}))

/** Any set of changes of the grid, cells of all phases among them. */
const drawnChanges = (profile: Profile, drawn: readonly number[]): Change[] => {
  const at = (k: number): number => drawn[k % drawn.length] ?? 0
  const kinds = CHANGE_KINDS.filter((kind, k) => at(k) % 3 === 0 && !CHART_KINDS.includes(kind))
  const chart = CHART_KINDS[at(8) % CHART_KINDS.length] as ChangeKind
  const all = at(9) % 4 === 0 ? kinds : [...kinds, chart]
  return all.flatMap((kind, k): Change[] => {
    if (kind !== 'cell') {
      const changes = changesOf(kind, profile)
      return changes.length === 0 ? [] : [changes[at(k + 10) % changes.length] as Change]
    }
    const rows = profile.chart.cycles.length + (profile.chart.after.kind === 'stay' ? 1 : 0)
    const row = at(11) % rows
    return [
      {
        kind,
        ref: {
          cycle: row < profile.chart.cycles.length ? row : 'after',
          level: at(12) % 2 ? 'high' : 'low',
          pin: PINS[at(13) % PINS.length] ?? 1,
        },
        cell: CELLS[at(14) % CELLS.length] ?? 'low',
      },
    ]
  })
}
const arbDraws = fc.array(fc.array(fc.nat(10_000), { minLength: 15, maxLength: 15 }), {
  minLength: 60,
  maxLength: 60,
})

describe('fixes against changes drawn from the whole grid', () => {
  it('mend what they say, and nothing smaller that is drawn mends it', () => {
    let mended = 0
    let hopeless = 0
    fc.assert(
      fc.property(arbProfile, arbTitle, arbDraws, (profile, title, draws) => {
        const { now, fixes, standing } = workToEnd(findingFixes(profile, [title], options))
        expect(now).toEqual([judge(profile, title, options)])
        for (const { changes, judgements, profile: kept } of fixes) {
          const met = changes.reduce(metWith, profile)
          expect(judgements).toEqual([judge(met, title, options)])
          expect(judgements[0]?.verdict).not.toBe('misread')
          expect(kept).toEqual(changes.reduce(withChange, profile))
        }
        if (now[0]?.verdict === 'clean') return
        const fewest = Math.min(...fixes.map(({ changes }) => changes.length))
        const isClean = fixes.some(({ judgements }) => judgements[0]?.verdict === 'clean')
        if (fixes.length > 0) mended++
        else hopeless++
        expect(standing).toBe(isClean ? 'mended' : fixes.length > 0 ? 'best' : 'none')
        for (const drawn of draws) {
          const changes = drawnChanges(profile, drawn)
          if (changes.length === 0) continue
          const { verdict } = judge(changes.reduce(metWith, profile), title, options)
          if (verdict === 'clean' && (!isClean || changes.length < fewest))
            expect.fail(JSON.stringify(changes))
          if (verdict !== 'misread' && fixes.length === 0 && now[0]?.verdict === 'misread')
            expect.fail(JSON.stringify(changes))
        }
      }),
      { numRuns: 40 },
    )
    expect(Math.min(mended, hopeless)).toBeGreaterThan(2)
  })
})

describe('the best so far, while fixes are looked for', () => {
  it('is what it says, is none that was not wanted, and is no better than the answer', () => {
    let told = 0
    fc.assert(
      fc.property(arbProfile, arbTitle, (profile, title) => {
        const now = judge(profile, title, options)
        const rank = { clean: 0, tight: 1, undecided: 2, misread: 3 }
        const search = findingFixes(profile, [title], options)
        let before = 0
        let leastRank = 3
        let known = ''
        let step = search.next()
        for (; !step.done; step = search.next()) {
          const { tried, best } = step.value
          expect(tried).toBeGreaterThanOrEqual(before)
          before = tried
          if (best === null || JSON.stringify(best.changes) === known) continue
          known = JSON.stringify(best.changes)
          told++
          const judgement = judge(best.changes.reduce(metWith, profile), title, options)
          expect(best.judgements).toEqual([judgement])
          expect(rank[judgement.verdict]).toBeLessThan(rank[now.verdict])
          leastRank = Math.min(leastRank, rank[judgement.verdict])
        }
        const [fix] = step.value.fixes
        if (leastRank < 3)
          expect(rank[fix?.judgements[0]?.verdict ?? 'misread']).toBeLessThanOrEqual(leastRank)
      }),
      { numRuns: 10 },
    )
    expect(told).toBeGreaterThan(0)
  })
})

it('a search gives way before each title that it asks, so that it can be shown and left at any time', () => {
  const names = ['copper-kite-rally', 'nine-moths', 'harbour-lanterns', 'the-bellfounder']
  const search = findingFixes(six, names.map(demo), options)
  const judged: number[] = []
  let [steps, most] = [0, 0]
  let step = search.next()
  for (; !step.done; step = search.next()) {
    steps++
    if (step.value.tried === 0) judged.push(step.value.now.length)
    most = step.value.tried
  }
  expect(judged.slice(0, names.length)).toEqual([1, 2, 3, 4])
  expect(steps).toBeGreaterThan(names.length + most)
})

describe('fixes for the titles of the museum', () => {
  it('stop the burst after the second cycle, or hold Mode at power-on', () => {
    expect(words(six, [demo('copper-kite-rally')])).toEqual([
      'stop after the second cycle',
      'hold centre-left at power-on, so that only the first cycle replies',
    ])
  })

  it('say what they cost, in these titles and in others', () => {
    const [stop, hold] = workToEnd(findingFixes(six, [demo('copper-kite-rally')], options)).fixes
    expect(costWords(stop?.changes ?? [], stop ?? { lost: [], lostHere: [] }, 1)).toBe(
      'trade-off: six-button titles lose X, Y, Z and Mode',
    )
    expect(costWords(hold?.changes ?? [], hold ?? { lost: [], lostHere: [] }, 1)).toContain(
      'at every power-on',
    )
    expect(hold?.profile).toEqual(six)
  })

  it('serve several titles at once, where one change does for each of them and not for both', () => {
    const both = [demo('copper-kite-rally'), demo('nine-moths')]
    const { fixes, now } = workToEnd(findingFixes(three, both, options))
    expect(now.map(({ verdict }) => verdict)).toEqual(['clean', 'misread'])
    expect(fixes[0]?.judgements.map(({ verdict }) => verdict)).toEqual(['clean', 'clean'])
  })

  it('find the idle reset that falls between reads', () => {
    const often = withShort(PLAIN.once, { readOffsetsNs: [100_000, 400_000, 700_000] })
    expect(words(six, [often])[0]).toBe('set the idle reset to 200.00 µs instead of 1.50 ms')
  })

  it('take the delay out where the sample comes too early for it', () => {
    const early = withShort(PLAIN.quick, { sampleAfterEdgeNs: { minNs: 408, maxNs: 408 } })
    const slow: Profile = { ...six, delayNs: 56 }
    expect(words(slow, [early])).toEqual(['set the added delay to 8 ns instead of 56 ns'])
  })

  it('say that nothing in the grid helps a title that samples sooner than the adapter can answer', () => {
    const early = withShort(PLAIN.quick, { sampleAfterEdgeNs: { minNs: 20, maxNs: 30 } })
    const outcome = workToEnd(findingFixes(six, [early], options))
    expect(outcome).toMatchObject({ fixes: [], standing: 'none' })
    expect(outcome.tried).toBeGreaterThan(1_000)
  })

  it('keep opposite directions from a title that does not cope with them', () => {
    const strict = { ...PLAIN.once, takesOpposite: false }
    expect(judge(six, strict, options)).toMatchObject({
      verdict: 'misread',
      counterexample: { cause: 'opposite' },
    })
    expect(words(six, [strict])).toEqual([
      'let Up with Down count as neither and let Left with Right count as neither',
    ])
  })
})

it('every input has a place in the grid of cells', () => {
  expect(CELLS).toEqual([...INPUTS, 'low', 'high'])
})
