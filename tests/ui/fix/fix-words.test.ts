import { describe, expect, it } from 'vitest'
import { findingFixes, isInForce } from '../../../src/bench/fix.ts'
import type { Fix } from '../../../src/bench/fix.ts'
import { judge } from '../../../src/bench/judge.ts'
import type { Counterexample, Judgement } from '../../../src/bench/judgement.ts'
import { worstOf } from '../../../src/bench/worst-of.ts'
import { workToEnd } from '../../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import type { Title } from '../../../src/title/schema.ts'
import {
  adviceWords,
  decideFirstWords,
  fixLabel,
  heldControls,
  priceWords,
} from '../../../src/ui/fix/fix-words.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { demo, hopeless, options } from './examples.ts'

const six = BUILT_IN_PROFILES['six-button']
/** The same without its rule for the first cycle. */
const bare: Profile = { ...six, powerOn: [] }

function fixes(profile: Profile, ...titles: Title[]): readonly [Fix, Fix] {
  const [first, second] = workToEnd(findingFixes(profile, titles, options)).fixes
  if (!first || !second) throw new Error('two fixes were expected')
  return [first, second]
}

describe('the words of a fix', () => {
  const [stop, hold] = fixes(bare, demo('copper-kite-rally'))

  it('are an order that stands in a button and behind undo', () => {
    expect(fixLabel(stop, bare)).toBe('stop after the second cycle')
    // The control is called what the Pad station calls it.
    expect(fixLabel(hold, bare)).toBe('hold Centre left at power-on, so that only the first cycle replies')
  })

  it('say what somebody has to hold, and whether the profile has the rule for it', () => {
    expect(heldControls(stop)).toBeNull()
    expect(heldControls(hold)).toBe('Centre left')
    expect(isInForce(hold, bare)).toBe(false)
    expect(hold.profile.powerOn).toEqual([{ held: ['centre-left'], then: { kind: 'first-cycle-only' } }])
    const [stopNow, holdNow] = fixes(hold.profile, demo('copper-kite-rally'))
    // Through the worker it comes back as another object.
    expect(isInForce(structuredClone(holdNow), hold.profile)).toBe(true)
    expect(isInForce(stopNow, hold.profile)).toBe(false)
  })

  it('say what it costs, and whom it spoils', () => {
    const cost = 'trade-off: six-button titles lose X, Y, Z and Mode'
    expect(priceWords([demo('copper-kite-rally')], stop, [])).toBe(cost)
    expect(priceWords([demo('copper-kite-rally')], stop, ['Nine Moths'])).toBe(
      `${cost}; reads worse then: Nine Moths`,
    )
    expect(priceWords([demo('copper-kite-rally')], stop, null)).toBe(
      `${cost}; the other titles are being judged`,
    )
  })

  it('name the titles that it leaves tight, where it serves several', () => {
    const titles = [demo('copper-kite-rally'), demo('tidewatch')]
    const [both] = fixes(six, ...titles)
    expect(priceWords(titles, both, [])).toMatch(/^leaves Tidewatch tight; /)
    expect(worstOf(both.judgements)).toBe('tight')
    expect(priceWords([demo('copper-kite-rally')], stop, [])).not.toContain('tight')
    expect(worstOf(stop.judgements)).toBe('clean')
  })
})

describe('advice where nothing helps', () => {
  const because = (cause: Counterexample['cause']): Judgement => {
    const judgement = judge(six, demo('copper-kite-rally'), options)
    if (!judgement.counterexample) throw new Error('a misread was expected')
    return { ...judgement, counterexample: { ...judgement.counterexample, cause } }
  }

  it('sends nobody to the cells for a matter of time', () => {
    const late = judge(six, hopeless, options)
    expect(late.counterexample?.cause).toBe('settling')
    expect(adviceWords(late)).toContain('only an adapter with a shorter reply time would help')
    const tight = judge(six, PLAIN.quick, options)
    expect(tight.verdict).toBe('tight')
    expect(adviceWords(tight)).toContain('of the adapter and its cable')
    const released = judge(six, demo('tidewatch'), options)
    expect(released.verdict).toBe('tight')
    expect(adviceWords(released)).toContain('between the rise of released select and the sample')
    for (const judgement of [late, tight, released, because('slow-rise')])
      expect(adviceWords(judgement)).not.toContain('cells')
    expect(adviceWords(because('count'))).toContain('Unlock the chart')
  })

  it('knows that a reset can fall between those that were tried', () => {
    const tight = judge(six, demo('tidewatch'), options)
    if (!tight.tightest) throw new Error('a tightest sample was expected')
    expect(adviceWords({ ...tight, tightest: { ...tight.tightest, by: 'reset' } })).toContain(
      'One in between might',
    )
  })
})

describe('a title that is undecided', () => {
  const open = {
    kind: 'title',
    misreadIf: [],
    cleanIf: 'it only uses its first cycle',
    trial: { held: [], phantom: ['up'], settles: [], sentence: 'Hold nothing.' },
  } as const

  it('is decided first: of one alone it is said what that brings, of several which they are', () => {
    expect(decideFirstWords([{ name: 'Gull Weather', hangsOn: null }])).toBeNull()
    // The trial stands above it, with the verdict.
    expect(decideFirstWords([{ name: 'Gull Weather', hangsOn: open }])).toBe(
      'Find out first what it does: if it only uses its first cycle, nothing has to change.',
    )
    expect(decideFirstWords([{ name: 'Gull Weather', hangsOn: { ...open, kind: 'not-described' } }])).toBe(
      'Describe how the title reads the port first.',
    )
    const others = [
      { name: 'Nine Moths', hangsOn: null },
      { name: 'Gull Weather', hangsOn: open },
      { name: 'Two Tides', hangsOn: open },
    ]
    expect(decideFirstWords(others.slice(0, 2))).toBe(
      'Gull Weather is undecided: find out first what it does.',
    )
    expect(decideFirstWords(others)).toBe(
      'Gull Weather and Two Tides are undecided: find out first what they do.',
    )
  })

  it('gets no advice that a fix was not found: it may need none', () => {
    const judgement = judge(six, demo('copper-kite-rally'), options)
    expect(adviceWords({ ...judgement, verdict: 'undecided', hangsOn: open })).toBe(
      'No one change suits everything that this title may be.',
    )
  })
})
