import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { LIGHTS } from '../../src/adapter/lights.ts'

const text = (path: string) => readFileSync(new URL(`../../src/adapter/${path}`, import.meta.url), 'utf8')
const hex = (pattern: number) => `0x${pattern.toString(16).toUpperCase().padStart(8, '0')}`

test('the light says the same in the firmware, in LINK.md and in the app', () => {
  const firmware = new Map(
    [...text('firmware/led.c').matchAll(/#define (\w+) (0x[0-9A-F]{8})u/g)].map(([, name, bits]) => [
      name,
      bits,
    ]),
  )
  expect([...firmware]).toEqual(LIGHTS.map(({ name, pattern }) => [name, hex(pattern)]))
  const rows = [...text('LINK.md').matchAll(/^\| `(0x[0-9A-F]{8})` +\| (.+?) +\| (.+?) +\|$/gm)].map((row) =>
    row.slice(1),
  )
  expect(rows).toEqual(LIGHTS.map(({ pattern, looks, means }) => [hex(pattern), looks, means]))
})
