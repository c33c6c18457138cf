import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { checkTitle } from '../../src/shelf/files.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { WAYS_OF_READING, partsOf, readsOf } from '../../src/title/ways-of-reading.ts'
import { newTitle } from '../../src/ui/titles/new-title.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { shortTitle } from '../bench/short-titles.ts'

const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const six = BUILT_IN_PROFILES['six-button']
const NEW = newTitle('Gull Weather')

/** Somebody has said what it samples. */
const said = (short: ShortTitle): ShortTitle => ({
  ...short,
  sources: { ...short.sources, samples: { kind: 'typed-in' } },
})

describe('a title of mine', () => {
  it('begins sound, not described, and clean with what everybody starts from once its samples are said', () => {
    expect(checkTitle(NEW)).toEqual({ ok: true, value: NEW })
    for (const profile of Object.values(BUILT_IN_PROFILES)) {
      const { verdict, hangsOn } = judge(profile, NEW, options)
      expect([verdict, hangsOn?.kind]).toEqual(['undecided', 'not-described'])
      expect(judge(profile, titleOfShort(said(shortTitle(NEW))), options).verdict).toBe('clean')
    }
  })

  it('says of every figure that nobody has chosen it', () => {
    const { sources, samples, name, notes, fragile, cyclesPerRead, mode, captures, ...figures } =
      shortTitle(NEW)
    expect([name, notes, fragile, cyclesPerRead, mode, captures]).toEqual([
      'Gull Weather',
      '',
      false,
      1,
      '',
      [],
    ])
    expect(samples).toHaveLength(2)
    for (const figure of ['samples', ...Object.keys(figures)])
      expect(sources[figure as keyof typeof sources], figure).toEqual({ kind: 'preset' })
  })

  it('is sound in every way of reading, and known by it again', () => {
    for (const reads of WAYS_OF_READING) {
      if (reads === 'own') continue
      for (const rest of ['high', 'low'] as const) {
        for (const cyclesPerRead of [1, 2, 3, 5]) {
          const base: ShortTitle = { ...shortTitle(NEW), rest, cyclesPerRead }
          const short: ShortTitle = { ...base, ...partsOf(reads, base) }
          const checked = checkTitle(titleOfShort(short))
          if (!checked.ok) throw new Error(JSON.stringify(checked))
          // With one cycle the first is every cycle.
          const known = reads === 'every' && cyclesPerRead === 1 ? 'first' : reads
          expect([readsOf(short), readsOf(shortTitle(checked.value))]).toEqual([known, known])
        }
      }
    }
  })

  it('finds six buttons from rest high and from rest low', () => {
    for (const rest of ['high', 'low'] as const) {
      const base: ShortTitle = { ...shortTitle(NEW), rest }
      const judgement = judge(six, titleOfShort(said({ ...base, ...partsOf('six', base) })), options)
      expect([judgement.verdict, judgement.sixButtons, judgement.unseen]).toEqual(['clean', true, []])
    }
  })

  it('is told from one that was set sample by sample', () => {
    const short = shortTitle(NEW)
    expect(readsOf({ ...short, samples: short.samples.slice(0, 1) })).toBe('own')
    expect(readsOf(shortTitle(PLAIN.burst))).toBe('every')
  })
})
