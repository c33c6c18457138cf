import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { readTitle, writeTitle } from '../../../src/title/file.ts'
import { inputsReadBy } from '../../../src/title/inputs-read.ts'
import { shortOf } from '../../../src/title/short-of-title.ts'
import { newTitle } from '../../../src/ui/titles/new-title.ts'
import { READY_PATTERNS, withPattern } from '../../../src/ui/titles/ready-patterns.ts'
import type { ReadyPattern } from '../../../src/ui/titles/ready-patterns.ts'
import { isUntouched } from '../../../src/title/untouched.ts'
import { tooSoonNs } from '../../../src/ui/titles/step-times.ts'
import { shortTitle, withShort } from '../../bench/short-titles.ts'

const NEW = newTitle('Gull Weather')
const options = { adapter: REFERENCE_ADAPTER, marginNs: 200 }

/** Which built-in pads each is right for, and how many inputs it reads. */
const MEANT: Readonly<
  Record<ReadyPattern, { readonly clean: ('three-button' | 'six-button')[]; readonly inputs: number }>
> = {
  'low-first': { clean: ['three-button', 'six-button'], inputs: 8 },
  'high-first': { clean: ['three-button', 'six-button'], inputs: 8 },
  // Up and Down held together on a three-button pad are the identification.
  'six-by-identification': { clean: ['six-button'], inputs: 12 },
  'six-by-end-mark': { clean: ['three-button', 'six-button'], inputs: 12 },
  released: { clean: ['three-button', 'six-button'], inputs: 8 },
  polling: { clean: ['three-button', 'six-button'], inputs: 8 },
}

const TYPED = { kind: 'typed-in' } as const

describe.each(READY_PATTERNS)('the ready pattern %s', (pattern) => {
  const title = withPattern({ ...NEW, notes: 'Kept.', standard: '625-line' }, pattern)

  it('is a title whose figures are preset and whose samples are said, and keeps what is no step', () => {
    expect(readTitle(new TextEncoder().encode(writeTitle(title)))).toEqual({ ok: true, value: title })
    expect(title).toMatchObject({ name: NEW.name, notes: 'Kept.', standard: '625-line' })
    expect(JSON.stringify(title.modes)).not.toMatch(/"kind":"(?!preset|typed-in|frame|interval)/)
    expect([isUntouched(NEW), isUntouched(title), tooSoonNs(title)]).toEqual([true, false, null])
    expect(inputsReadBy(title).length).toBe(MEANT[pattern].inputs)
  })

  it.each(['three-button', 'six-button'] as const)('in front of a pad with %s', (pad) => {
    const judgement = judge(BUILT_IN_PROFILES[pad], title, options)
    expect(judgement.verdict === 'clean', judgement.reason).toBe(MEANT[pattern].clean.includes(pad))
  })
})

it('begins with what a new title is: it alone can be said the short way', () => {
  const said = { sources: { ...shortTitle(NEW).sources, samples: TYPED, sixButtons: TYPED } }
  expect(withPattern(NEW, 'high-first')).toEqual(withShort(NEW, said))
  expect(judge(BUILT_IN_PROFILES['three-button'], NEW, options)).toMatchObject({
    verdict: 'undecided',
    hangsOn: { kind: 'not-described' },
  })
  expect(READY_PATTERNS.filter((pattern) => shortOf(withPattern(NEW, pattern)) !== null)).toEqual([
    'high-first',
  ])
})
