import fc from 'fast-check'
import { expect, test } from 'vitest'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { TITLE_LIMITS } from '../../src/title/title-limits.ts'
import { CASES } from '../bench/steps-titles.ts'
import type { Case } from '../bench/steps-titles.ts'
import { draws } from '../draws.ts'

const read = (title: object): Title => {
  const found = readTitle(new TextEncoder().encode(JSON.stringify(title)))
  if (!found.ok) throw new Error(`${found.error.place}: ${found.error.message}`)
  return found.value
}
const plain = read((CASES[0] as Case).title)
const [mode] = plain.modes

const called = (names: readonly (string | undefined)[]): object => ({
  ...plain,
  modes: names.map((name) => {
    const { name: _before, ...rest } = mode as NonNullable<typeof mode>
    return name === undefined ? rest : { name, ...rest }
  }),
})
const namesIn = ({ modes }: Title) => modes.map(({ name }) => name)

test.each([
  [
    ['menu', 'menu', 'menu'],
    ['menu', 'menu (2)', 'menu (3)'],
  ],
  [
    ['menu', 'menu', 'menu (2)'],
    ['menu', 'menu (3)', 'menu (2)'],
  ],
  [
    [undefined, 'menu', undefined],
    [undefined, 'menu', undefined],
  ],
  [
    ['m'.repeat(60), 'm'.repeat(60)],
    ['m'.repeat(60), `${'m'.repeat(56)} (2)`],
  ],
  [
    [`${'m'.repeat(55)} ${'🪔'.repeat(2)}`, `${'m'.repeat(55)} ${'🪔'.repeat(2)}`],
    [`${'m'.repeat(55)} ${'🪔'.repeat(2)}`, `${'m'.repeat(55)} (2)`],
  ],
])('a file opens in which modes are called %j: they are called %j from then on', (given, names) => {
  expect(namesIn(read(called(given)))).toEqual(names)
})

test('whatever modes are called, no two are called alike, and nothing else changes when they are written and read again', () => {
  let renamed = 0
  const arbName = fc.constantFrom(
    undefined,
    'menu',
    'menu (2)',
    'menu (3)',
    'play',
    'm'.repeat(60),
    `${'m'.repeat(56)} (2)`,
  )
  fc.assert(
    fc.property(fc.array(arbName, { minLength: 1, maxLength: TITLE_LIMITS.modes }), (given) => {
      const title = read(called(given))
      const names = namesIn(title).filter((name) => name !== undefined)
      expect(new Set(names).size).toBe(names.length)
      expect(Math.max(0, ...names.map((name) => name.length))).toBeLessThanOrEqual(TITLE_LIMITS.nameLength)
      const isApart = new Set(given.filter((name) => name !== undefined)).size === names.length
      if (isApart) expect(namesIn(title)).toEqual(given)
      else renamed++
      expect({ ...title, modes: [] }).toEqual({ ...plain, modes: [] })
      expect(read(JSON.parse(writeTitle(title)) as object)).toEqual(title)
    }),
    { numRuns: draws(200) },
  )
  expect(renamed).toBeGreaterThan(0)
})
