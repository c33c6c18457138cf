import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import { canSettle, ruledOut, takenFor } from '../../src/title/rule-out.ts'
import type { Possibility } from '../../src/title/rule-out.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbOpen } from '../bench/arbitrary-open.ts'
import { arbAdapter, arbTypicalProfile } from '../bench/arbitrary-profile.ts'
import { everyPossibility } from '../reference/every-possibility.ts'

/** Without what only says where it comes from. */
const meaning = (title: Title): string =>
  JSON.stringify(title, (key, value: unknown) =>
    key === 'source' || (key === 'possible' && Array.isArray(value) && value.length === 0)
      ? undefined
      : value,
  )

const whole = (title: Title): Title => {
  const read = readTitle(new TextEncoder().encode(writeTitle(title)))
  if (!read.ok) throw new Error(`${read.error.place} ${read.error.message}`)
  return read.value
}

test('a trial parts what a title may be: what it does and what it does not, and nothing that it could not be before', () => {
  let settled = 0
  fc.assert(
    fc.property(arbTypicalProfile, arbOpen, arbAdapter, (profile, title, adapter) => {
      const { hangsOn } = judge(profile, title, { adapter, marginNs: 200 })
      for (const { assumes } of hangsOn?.misreadIf ?? []) {
        if (assumes.kind !== 'sample' && assumes.kind !== 'six-buttons') continue
        const asked: Possibility[] = [assumes]
        if (!canSettle(title, assumes)) continue
        settled++
        const before = everyPossibility(title).map(meaning)
        const [not, does] = [ruledOut(title, asked), takenFor(title, asked)].map((one) =>
          everyPossibility(whole(one)).map(meaning),
        ) as [string[], string[]]
        expect([...not, ...does].filter((one) => !before.includes(one))).toEqual([])
        expect(new Set([...not, ...does]).size).toBe(new Set(before).size)
      }
    }),
    { numRuns: 80 },
  )
  expect(settled).toBeGreaterThan(15)
})

test('says that it was found with the adapter, and how often', () => {
  const title = fc
    .sample(arbOpen, 300)
    .find(({ sixButtons }) => (sixButtons.possible ?? []).length > 1) as Title
  const once = ruledOut(title, [{ kind: 'six-buttons', detection: 1 }])
  expect(once.sixButtons.source).toEqual({ kind: 'found', trials: 1 })
  const twice = takenFor(once, [{ kind: 'six-buttons', detection: 0 }])
  expect(twice.sixButtons.source).toEqual({ kind: 'found', trials: 2 })
  expect(twice.sixButtons.possible).toBeUndefined()
})
