import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { checkTitle } from '../../src/shelf/files.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { WAYS_OF_READING, partsOf, readsOf } from '../../src/title/ways-of-reading.ts'
import { NEW_TITLE } from '../../src/ui/titles/new-title.ts'

const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const six = BUILT_IN_PROFILES['six-button']

describe('a title of mine', () => {
  it('begins sound, and clean with what everybody starts from', () => {
    expect(checkTitle(NEW_TITLE)).toEqual({ ok: true, value: NEW_TITLE })
    for (const profile of Object.values(BUILT_IN_PROFILES)) {
      expect(judge(profile, NEW_TITLE, options).verdict).toBe('clean')
    }
  })

  it('is sound in every way of reading, and known by it again', () => {
    for (const reads of WAYS_OF_READING) {
      if (reads === 'own') continue
      for (const rest of ['high', 'low'] as const) {
        for (const cyclesPerRead of [1, 2, 3, 5]) {
          const base: Title = { ...NEW_TITLE, rest, cyclesPerRead }
          const title: Title = { ...base, ...partsOf(reads, base) }
          const checked = checkTitle(title)
          expect(checked.ok, JSON.stringify(checked)).toBe(true)
          // With one cycle the first is every cycle.
          expect(readsOf(title)).toBe(reads === 'every' && cyclesPerRead === 1 ? 'first' : reads)
        }
      }
    }
  })

  it('finds six buttons from rest high and from rest low', () => {
    for (const rest of ['high', 'low'] as const) {
      const base: Title = { ...NEW_TITLE, rest }
      const judgement = judge(six, { ...base, ...partsOf('six', base) }, options)
      expect([judgement.verdict, judgement.sixButtons, judgement.unseen]).toEqual(['clean', true, []])
    }
  })

  it('is told from one that was set sample by sample', () => {
    expect(readsOf({ ...NEW_TITLE, samples: NEW_TITLE.samples.slice(0, 1) })).toBe('own')
    const demo = new URL('../../static/demo/titles/copper-kite-rally.json', import.meta.url)
    const title = readTitle(new Uint8Array(readFileSync(demo)))
    expect(title.ok && readsOf(title.value)).toBe('every')
  })
})
