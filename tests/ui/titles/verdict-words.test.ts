import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { conditionWords } from '../../../src/bench/turn-words.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { exampleWords, tightWords } from '../../../src/ui/titles/example-words.ts'
import { countWords, verdictNews } from '../../../src/ui/titles/count-words.ts'
import type { TitleVerdict } from '../../../src/ui/titles/count-words.ts'
import { briefWords, marginWords, saidWords, verdictMeanings } from '../../../src/ui/titles/verdict-words.ts'

const of = (name: string, verdict: TitleVerdict['verdict']): TitleVerdict => ({ id: name, name, verdict })

describe('words about verdicts', () => {
  it('count for the cable', () => {
    expect(countWords({ clean: 3, tight: 1, undecided: 0, misread: 2 })).toBe('2 misread, 1 tight')
    expect(countWords({ clean: 3, tight: 0, undecided: 0, misread: 0 })).toBe('all 3 clean')
    expect(countWords({ clean: 0, tight: 0, undecided: 0, misread: 0 })).toBe('none yet')
  })

  it('tell what an edit has turned, and nothing else', () => {
    const before = [of('Gull', 'misread'), of('Tern', 'clean'), of('Skua', null)]
    expect(verdictNews(before, before)).toBe('')
    expect(verdictNews(before, [of('Gull', 'clean'), of('Tern', 'clean'), of('Skua', 'tight')])).toBe(
      'Gull is clean now.',
    )
    expect(verdictNews(before, [of('Gull', 'tight'), of('Tern', 'misread')])).toBe(
      'Gull is tight now. Tern is misread now.',
    )
    expect(verdictNews(before, [...before, of('New', 'misread')])).toBe('')
    const many = ['a', 'b', 'c', 'd']
    expect(
      verdictNews(
        many.map((name) => of(name, 'clean')),
        many.map((name) => of(name, 'tight')),
      ),
    ).toBe('4 verdicts changed.')
  })

  it('say both sides of what is undecided as conditions, and in a list only these', () => {
    const doubt = (condition: string) => ({
      assumes: { kind: 'six-buttons', detection: 1 } as const,
      condition,
      reason: 'Reads five cycles in one burst.',
      example: null,
    })
    const [first, second, third] = ['it runs', 'it walks', 'it stands'].map(doubt)
    if (!first || !second || !third) throw new Error('three doubts')
    const hangsOn = { kind: 'title', misreadIf: [first], cleanIf: 'it waits', trial: null } as const
    expect(conditionWords(hangsOn)).toEqual(['Clean if it waits.', 'Misread if it runs.'])
    expect(conditionWords({ ...hangsOn, misreadIf: [first, second] })[1]).toBe(
      'Misread if it runs, or does one other thing.',
    )
    expect(conditionWords({ ...hangsOn, misreadIf: [first, second, third] })[1]).toBe(
      'Misread if it runs, or does one of 2 other things.',
    )
    expect(conditionWords({ ...hangsOn, cleanIf: '' })).toEqual(['Misread if it runs.'])
    expect(conditionWords({ ...hangsOn, misreadIf: [] })).toEqual([])
    const clean = judge(BUILT_IN_PROFILES['three-button'], PLAIN.burst, {
      adapter: REFERENCE_ADAPTER,
      marginNs: DEFAULT_MARGIN_NS,
    })
    expect(briefWords(clean)).toMatch(/ margin$/)
    expect(briefWords({ ...clean, verdict: 'undecided', hangsOn })).toBe(
      'Clean if it waits. Misread if it runs.',
    )
    const undescribed = { ...hangsOn, kind: 'not-described' } as const
    expect(briefWords({ ...clean, verdict: 'undecided', hangsOn: undescribed })).toBe(clean.reason)
  })

  it('put a counterexample into a sentence', () => {
    const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
    const judgement = judge(BUILT_IN_PROFILES['six-button'], PLAIN.burst, options)
    expect(judgement.counterexample && exampleWords(judgement.counterexample)).toBe(
      'With nothing held, the sample in cycle 3 low, 1.69 µs after its edge and 14.69 µs into the read, sees Up and Down.',
    )
    expect(marginWords({ ...judgement, verdict: 'clean', marginNs: 2_310 })).toBe('2.31 µs margin')
    expect(marginWords({ ...judgement, verdict: 'misread', marginNs: -40 })).toBe('40 ns into a wrong reply')
    expect(marginWords({ ...judgement, verdict: 'misread', marginNs: 0 })).toBe('no margin')
    expect(marginWords({ ...judgement, verdict: 'clean', marginNs: null })).toBe('not timing-dependent')
    expect(saidWords(judgement, 200)).toBe(judgement.reason)
    expect(saidWords({ ...judgement, verdict: 'clean', marginNs: 2_310 }, 200)).toBe('2.31 µs margin.')
    expect(saidWords({ ...judgement, verdict: 'clean', marginNs: null }, 200)).toBe('Not timing-dependent.')
    const tight = { ...judgement, verdict: 'tight' as const, reason: '110 ns margin.' }
    expect(saidWords(tight, 200)).toBe('110 ns margin. It reads right, but the required margin is 200 ns.')
    expect(verdictMeanings(1_500).tight).toBe('reads right with less than 1.50 µs margin')
  })

  it('say which sample is the tight one', () => {
    const place = {
      mode: 1,
      readOfMode: 1,
      frame: 1,
      read: 1,
      step: 2,
      cycle: 1,
      level: 'low',
      rises: 0,
      shownLevel: 'low',
      atNs: 1_510,
      afterEdgeNs: 210,
    } as const
    expect(tightWords({ ...place, by: 'edge' })).toBe(
      'The tightest sample is in cycle 1 low, 210 ns after its edge and 1.51 µs into the read: its edge is close before it.',
    )
    expect(tightWords({ ...place, read: 3, frame: 2, by: 'reset' })).toBe(
      'The tightest sample is in cycle 1 low in read 3 of frame 2, 210 ns after its edge and 1.51 µs into the read: the idle reset is close to it.',
    )
    expect(tightWords({ ...place, level: 'high', by: 'rise' })).toBe(
      'The tightest sample is in cycle 1 high, 1.51 µs into the read: the rise of released select is close to it.',
    )
    expect(tightWords({ ...place, read: 2, by: 'rise' })).toBe(
      'The tightest sample is in cycle 1 low in read 2 of frame 1, 1.51 µs into the read: the rise of released select is close to it.',
    )
    const opposite = {
      held: ['up', 'down'],
      place,
      pins: [1, 2],
      phantom: [],
      missed: [],
      shortNs: null,
    } as const
    expect(exampleWords({ ...opposite, cause: 'opposite' })).toBe('With Up and Down held, both reach it.')
  })
})
