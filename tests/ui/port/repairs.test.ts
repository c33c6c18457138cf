import { readFileSync, readdirSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { VERDICTS } from '../../../src/bench/judgement.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { readTitle } from '../../../src/title/file.ts'
import type { Title } from '../../../src/title/schema.ts'
import { adviceWords, priceWords, repairWords, repairsFor } from '../../../src/ui/port/repairs.ts'

const DEMOS = new URL('../../../static/demo/titles/', import.meta.url)
const demo = (file: string): Title => {
  const read = readTitle(new Uint8Array(readFileSync(new URL(file, DEMOS))))
  if (!read.ok) throw new Error(file)
  return read.value
}
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const six = BUILT_IN_PROFILES['six-button']
const repairs = (title: Title) => repairsFor(six, title, judge(six, title, options), options)

describe('repairs', () => {
  it('offer to stop after the second cycle to a title that reads five in a burst', () => {
    const [best] = repairs(demo('copper-kite-rally.json'))
    if (!best) throw new Error('a repair was expected')
    expect(repairWords(best)).toBe('stop after the second cycle')
    expect(best.judgement.verdict).toBe('clean')
    expect(best.lost).toEqual(['x', 'y', 'z', 'mode'])
    expect(best.lostHere).toEqual([])
    expect(priceWords(best, ['Nine Moths'])).toBe(
      'costs X, Y, Z and Mode in titles that know six buttons, nothing in this one; reads worse then: Nine Moths',
    )
  })

  it('are none for a title that is clean, and never make a verdict worse', () => {
    for (const file of readdirSync(DEMOS)) {
      const title = demo(file)
      const now = judge(six, title, options)
      const found = repairs(title)
      if (now.verdict === 'clean') expect(found).toEqual([])
      for (const repair of found) {
        // Judged once more from what the repair would leave.
        const then = judge({ ...six, chart: repair.chart }, title, options)
        expect(then).toEqual(repair.judgement)
        expect(VERDICTS.indexOf(then.verdict)).toBeLessThan(VERDICTS.indexOf(now.verdict))
      }
    }
  })

  it('leave advice where none helps, and never sends anyone to the cells for a matter of time', () => {
    const tidewatch = demo('tidewatch.json')
    expect(repairs(tidewatch)).toEqual([])
    const tight = judge(six, tidewatch, options)
    expect(tight.verdict).toBe('tight')
    expect(adviceWords(tight, 0)).toContain('the adapter’s own')
    expect(adviceWords(tight, 48)).toContain('Take the deliberate delay of 48 ns out')
    const late = judge({ ...six, delayNs: 56 }, tidewatch, options)
    expect(late.verdict).toBe('misread')
    expect(adviceWords(late, 56)).toContain('only a quicker reply would help')
    expect(adviceWords(late, 56)).not.toContain('Unlock the chart')
  })

  it('say what they cost in the title itself', () => {
    const moths = demo('nine-moths.json')
    const fake = { cycles: 2, chart: six.chart, judgement: judge(six, moths, options) }
    expect(priceWords({ ...fake, lost: ['x'], lostHere: ['x'] }, [])).toBe('costs X in this title')
    expect(priceWords({ ...fake, lost: [], lostHere: [] }, [])).toBe('costs nothing')
  })
})
