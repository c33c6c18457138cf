import { readFileSync, readdirSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { READ_PATTERNS } from '../../src/bench/symptoms/patterns.ts'
import { WorkBudget } from '../../src/bench/work-budget.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readProfile } from '../../src/profile/file.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { PLAIN } from './plain-titles.ts'
import { CASES } from './steps-titles.ts'

/** What programs do every day is judged to its end, and with room to spare for the titles of users, which are odder. */

const DEMO = new URL('../../static/demo/', import.meta.url)

const filesIn = (folder: string): (readonly [name: string, bytes: Uint8Array])[] =>
  readdirSync(new URL(`${folder}/`, DEMO)).map((name) => [
    name,
    readFileSync(new URL(`${folder}/${name}`, DEMO)),
  ])

const PROFILES: readonly Profile[] = [
  ...Object.values(BUILT_IN_PROFILES),
  ...filesIn('profiles').map(([name, bytes]) => {
    const read = readProfile(bytes)
    if (!read.ok) throw new Error(`${name}: ${read.error.message}`)
    return read.value
  }),
]

const MUSEUM: readonly Title[] = filesIn('titles').map(([name, bytes]) => {
  const read = readTitle(bytes)
  if (!read.ok) throw new Error(`${name}: ${read.error.message}`)
  return read.value
})

describe.each<readonly [string, readonly Title[]]>([
  ['the titles of the museum', MUSEUM],
  ['the read patterns that symptoms are looked up in', READ_PATTERNS.map(({ title }) => title)],
  ['titles with one habit each', CASES.map(({ title }) => title)],
  ['titles that sample before they move select', Object.values(PLAIN)],
])('%s', (_, titles) => {
  test.each(titles.map((title) => [title.name, title] as const))(
    '%s is judged to its end for half of the work at most',
    (_name, title) => {
      for (const profile of PROFILES) {
        const budget = new WorkBudget()
        const all = budget.left
        // What others have had worked out of this title makes no difference: it is paid for all the same.
        const { isWhole } = judge(
          profile,
          title,
          { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS },
          budget,
        )
        expect(isWhole, profile.name).toBe(true)
        expect(budget.left, `${profile.name}: ${all - budget.left} of ${all}`).toBeGreaterThanOrEqual(all / 2)
      }
    },
  )
})
