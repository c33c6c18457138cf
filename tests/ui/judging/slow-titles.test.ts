import { describe, expect, it } from 'vitest'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { TitleEntry } from '../../../src/shelf/entry.ts'
import type { Title } from '../../../src/title/schema.ts'
import { earlierIfSame, othersThan, slowOf, takesLong } from '../../../src/ui/judging/slow-titles.ts'
import { newTitle } from '../../../src/ui/titles/new-title.ts'
import { READY_PATTERNS, withPattern } from '../../../src/ui/titles/ready-patterns.ts'
import { title } from '../../bench/steps-titles.ts'

const after = { minNs: 1_500, maxNs: 1_500 }
const starts = { kind: 'frame', offsetsNs: [250_000], late: { minNs: 0, maxNs: 0 } }
const cycle = [
  { select: 'low', after },
  { sample: { 6: 'a' }, after },
  { select: 'high', after },
  { sample: { 6: 'b' }, after },
]
const long = title('512 steps', [{ starts, steps: Array.from({ length: 128 }, () => cycle).flat() }])
const stretched = title('interrupts', [
  { starts, steps: [...cycle, ...cycle], stretch: { byNs: 60_000, times: 12 } },
])
const entry = (id: string, document: Title): TitleEntry =>
  ({ id, kind: 'title', document }) as unknown as TitleEntry

describe('titles that take long to judge', () => {
  it('are long ones, and those that an interrupt can hold up in many gaps; no usual pattern is', () => {
    expect(takesLong(long)).toBe(true)
    expect(takesLong(stretched)).toBe(true)
    for (const pattern of READY_PATTERNS)
      expect(takesLong(withPattern(newTitle('-'), pattern)), pattern).toBe(false)
  })

  it('go to workers alone, and with all others where there are many', () => {
    const quick = entry('quick', newTitle('-'))
    const slow = entry('slow', long)
    expect(slowOf([quick, slow])).toEqual([slow])
    expect(othersThan([slow], [quick, slow])).toEqual([quick])
    const many = Array.from({ length: 13 }, (_, k) => entry(String(k), newTitle('-')))
    expect(slowOf(many.slice(1))).toEqual([])
    expect(slowOf(many)).toEqual(many)
  })

  it('are not judged again where only another title is edited', () => {
    const options = { adapter: REFERENCE_ADAPTER, marginNs: 200 }
    const profile = BUILT_IN_PROFILES['six-button']
    const slow = entry('slow', long)
    const before = { profile, options, titles: [slow] }
    expect(earlierIfSame(before, { profile, options, titles: [slow] })).toBe(before)
    for (const other of [
      { profile, options, titles: [entry('slow', { ...long })] },
      { profile: { ...profile }, options, titles: [slow] },
      { profile, options: { ...options }, titles: [slow] },
    ])
      expect(earlierIfSame(before, other)).toBe(other)
  })
})
