import { describe, expect, it } from 'vitest'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { findAlongCycles } from '../../src/bench/along-cycles.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { mostCyclesOpen, usingCycles } from '../../src/title/cycles-used.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import { leaveOpen } from '../../src/title/leave-open.ts'
import { possibilitiesOf } from '../../src/title/possible.ts'
import type { Title } from '../../src/title/schema.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { withShort } from '../bench/short-titles.ts'

/** Five cycles whose samples are left open, as a capture shows them. */
const OPEN = leaveOpen(PLAIN.burst, () => ({
  minNs: 1_000,
  maxNs: 1_600,
  source: { kind: 'guessed' },
}))

const samples = ({ modes }: Title) =>
  modes.flatMap(({ reads }) =>
    reads.flatMap(({ steps }) => steps.flatMap((step) => ('sample' in step ? [step] : []))),
  )

const used = (title: Title): number =>
  samples(title).filter(({ sample }) => Object.keys(sample).length > 0).length

describe('how many cycles a title uses', () => {
  it('is open where its samples are, in more than one cycle', () => {
    expect(mostCyclesOpen(PLAIN.burst)).toBeNull()
    expect(mostCyclesOpen(OPEN)).toBeGreaterThanOrEqual(5)
    expect(mostCyclesOpen(usingCycles(OPEN, 2))).toBeNull()
  })

  it('can be said: two samples a cycle, and nothing of what comes after', () => {
    for (const cycles of [1, 2, 5]) {
      const title = usingCycles(OPEN, cycles, { kind: 'typed-in' })
      expect(used(title)).toBe(2 * cycles)
      expect(possibilitiesOf(title)?.groups ?? []).toEqual([])
      expect(samples(title).every(({ source }) => source?.kind === 'typed-in')).toBe(true)
      // It is a title as any other: a file can hold it.
      const read = readTitle(new TextEncoder().encode(writeTitle(title)))
      expect(read.ok && read.value).toEqual(title)
    }
  })

  it('decides the verdict: a six-button pad identifies itself in the third cycle (port-facts)', () => {
    const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
    const along = workToEnd(
      findAlongCycles({ profile: BUILT_IN_PROFILES['six-button'], title: OPEN, options }),
    )
    expect(along.slice(0, 5).map(({ verdict }) => verdict)).toEqual([
      'clean',
      'clean',
      'misread',
      'misread',
      'misread',
    ])
    expect(along).toHaveLength(mostCyclesOpen(OPEN) ?? 0)
    const closed = findAlongCycles({ profile: BUILT_IN_PROFILES['six-button'], title: PLAIN.burst, options })
    expect(workToEnd(closed)).toEqual([])
  })

  it('are those of the read: where select idles low, its first is the second of the phase chart', () => {
    const low = leaveOpen(withShort(PLAIN.burst, { rest: 'low' }), () => ({
      minNs: 1_000,
      maxNs: 1_600,
      source: { kind: 'guessed' },
    }))
    expect(mostCyclesOpen(low)).toBe(5)
    expect(used(usingCycles(low, 1))).toBeGreaterThanOrEqual(2)
    expect(used(usingCycles(low, 2))).toBe(used(usingCycles(low, 1)) + 2)
  })
})
