import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { PINS } from '../../../src/port/pins.ts'
import {
  diagramWords,
  earlyWords,
  holdWords,
  placeWords,
  toldEvents,
} from '../../../src/ui/explain/explain-words.ts'
import { scopeWords } from '../../../src/ui/explain/scope-words.ts'
import { guiltySample } from '../../../src/ui/explain/waves.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { shortTitle, withShort } from '../../bench/short-titles.ts'
import { arbExplained, burst, early, explained } from './examples.ts'

describe('a misread in words', () => {
  it('says what to hold, where it happens and how to see it', () => {
    const { profile, title, explanation } = burst()
    expect(holdWords(explanation)).toBe('Hold nothing.')
    expect(placeWords(explanation)).toBe(
      'Frame 1, read 1, cycle 3 low: the sample 14.71 µs into the read sees Up and Down.',
    )
    expect(scopeWords(explanation, profile.chart, title)).toBe(
      'Trigger on the third falling edge of pin 7 in frame 1 and check pins 1 and 2, 1.71 µs later: low instead of high. ' +
        'A scope that does not count edges triggers on the first falling edge of the read; the sample is 12.11 µs after that.',
    )
    expect(earlyWords(explanation)).toBeNull()
  })

  it('says how much is missing', () => {
    const { profile, title, explanation } = early()
    expect([holdWords(explanation), earlyWords(explanation)]).toEqual(['Hold B.', '138 ns too early'])
    expect(scopeWords(explanation, profile.chart, title)).toBe(
      'Trigger on the first falling edge of pin 7 in frame 1 and check pin 6, 40 ns later: low instead of high.',
    )
    expect(diagramWords(explanation)).toMatch(/ sees A\. That is 138 ns too early\.$/)
  })

  it('looks back from the first fall where the sample comes before it', () => {
    const low = PLAIN.idlesLow
    const { profile, title, explanation } = explained(
      withShort(low, {
        sampleAfterEdgeNs: { minNs: 10, maxNs: 20 },
        samples: shortTitle(low).samples.filter(({ level }) => level === 'high'),
      }),
    )
    expect(scopeWords(explanation, profile.chart, title)).toMatch(
      /^Trigger on the first falling edge of pin 7 in .* and check pins? .*, \d.*s before it: low instead of high\.$/,
    )
  })

  it('counts falls from power-on where the misread comes in a later read', () => {
    const title = withShort(PLAIN.once, { readOffsetsNs: [100_000, 400_000, 700_000] })
    const { profile, explanation } = explained(title)
    const { read, cycle } = explanation.example.place
    const falls = (read - 1) * shortTitle(title).cyclesPerRead + cycle
    const ordinals = ['zeroth', 'first', 'second', 'third', 'fourth', 'fifth', 'sixth']
    expect(read).toBeGreaterThan(1)
    expect(scopeWords(explanation, profile.chart, title)).toContain(
      `in read ${read} of frame 1, the ${ordinals[falls]} since power-on,`,
    )
  })

  it('tells every edge, change, sample and reply of the diagram in order', () => {
    fc.assert(
      fc.property(arbExplained, ({ profile, explanation }) => {
        const events = toldEvents(explanation, profile.chart)
        const times = events.map(({ atNs }) => atNs)
        expect(times).toEqual([...times].sort((p, q) => p - q))
        const count = (pattern: RegExp): number => events.filter(({ words }) => pattern.test(words)).length
        expect(count(/^Select (rises|falls)\.$/)).toBe(explanation.select.edges.length)
        expect(count(/^A sample\.$/)).toBe(explanation.samples.length - 1)
        expect(events.filter(({ isGuilty }) => isGuilty).map(({ atNs }) => atNs)).toEqual([
          guiltySample(explanation).atNs,
        ])
        expect(count(/^The correct reply is valid from here\.$/)).toBe(explanation.dueNs === null ? 0 : 1)
        const [before] = events
        for (const pin of PINS) expect(before?.words).toContain(`pin ${pin} `)
      }),
      { numRuns: 50 },
    )
  })
})
