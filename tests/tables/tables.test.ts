import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { TABLES } from '../../src/tables/all.ts'
import { outputsOf } from '../../src/tables/outputs.ts'

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8')
const outputs = outputsOf(TABLES, read)

test.each(outputs)('$path is what `npm run tables` writes', ({ path, text }) => {
  expect(read(path)).toBe(text)
})

test('no file is written by two tables, but for Markdown', () => {
  const code = outputs.map(({ path }) => path)
  expect(new Set(code).size).toBe(code.length)
})
