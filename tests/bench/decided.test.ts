import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { OppositePolicy } from '../../src/profile/schema.ts'
import { title } from './steps-titles.ts'

const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })

/**
 * Asks for Up and Down low in its first low phase, where they are those two inputs themselves, and adds a cycle where it finds both. The next
 * read, before an idle reset comes, is then the one cycle too late.
 */
const asking = title(
  'Asking',
  [
    {
      starts: { kind: 'frame', offsetsNs: [250_000], late: exactly(0) },
      steps: [
        { select: 'low', after: exactly(0) },
        { sample: { 1: 'up', 2: 'down' }, name: 'told', after: exactly(1_500) },
        { select: 'high', after: exactly(1_500) },
        { select: 'low', after: exactly(1_500), when: 'six-buttons' },
        { select: 'high', after: exactly(1_500), when: 'six-buttons' },
      ],
    },
    {
      starts: { kind: 'frame', offsetsNs: [350_000], late: exactly(0) },
      steps: [
        { select: 'low', after: exactly(0) },
        { select: 'high', after: exactly(1_500) },
        { sample: { 1: 'up', 2: 'down' }, after: exactly(1_500) },
      ],
    },
  ],
  { sixButtons: { kind: 'told', by: [{ sample: 'told', low: [1, 2] }], holds: 'read' } },
)

const verdictWith = (vertical: OppositePolicy) =>
  judge({ ...BUILT_IN_PROFILES['six-button'], opposite: { vertical, horizontal: 'as-held' } }, asking, {
    adapter: REFERENCE_ADAPTER,
    marginNs: DEFAULT_MARGIN_NS,
  }).verdict

describe('steps that hang on a belief', () => {
  test('come where both directions that it asks for can be held', () => {
    expect(verdictWith('as-held')).toBe('misread')
  })

  test('never come where the profile lets one of the two through', () => {
    expect(verdictWith('last')).toBe('clean')
    expect(verdictWith('neutral')).toBe('clean')
  })
})
