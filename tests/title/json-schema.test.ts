import { readFileSync, readdirSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../src/document/document.ts'
import { writeTitle } from '../../src/title/file.ts'
import { TITLE_KIND, TITLE_VERSION, TitleSchema } from '../../src/title/schema.ts'
import { arbTitle } from '../bench/arbitrary-title.ts'
import { publishedSchema, schemaText, validator } from '../published-schema.ts'

const FILE = new URL('../../static/schema/title.schema.json', import.meta.url)
const DEMOS = new URL('../../static/demo/titles/', import.meta.url)
const demo = (name: string) =>
  JSON.parse(readFileSync(new URL(name, DEMOS), 'utf8')) as Record<string, unknown>

const schema = publishedSchema(TitleSchema, {
  $id: `urn:ninepin:title:${TITLE_VERSION}`,
  title: 'Ninepin title',
  description:
    'Read pattern of a title: when it moves select, when it samples, what it concludes. Times are whole nanoseconds. ' +
    'The reader also checks that the fields go together.',
})

describe('the JSON Schema of a title', () => {
  it('is that of the reader', async () => {
    await expect(schemaText(schema)).toMatchFileSnapshot(FILE.pathname)
  })

  const valid = validator(schema)

  it.each(readdirSync(DEMOS))('takes the titles of the museum: %s', (name) => {
    expect(valid(demo(name))).toBe(true)
  })

  it('takes every title that we write', () => {
    fc.assert(
      fc.property(arbTitle, (title) => {
        expect(valid(JSON.parse(writeTitle(title)))).toBe(true)
      }),
      { numRuns: 500 },
    )
  })

  it.each<[string, Record<string, unknown>]>([
    ['of another format', { format: 'ninepin-profile' }],
    ['of a future version', { version: TITLE_VERSION + 1 }],
    ['without a name', { name: '' }],
    ['with too long a name', { name: 'n'.repeat(61) }],
    ['with half a nanosecond', { readOffsetsNs: [0.5] }],
    ['with a time before the frame', { readOffsetsNs: [-1] }],
    ['without reads', { readOffsetsNs: [] }],
    ['with too many reads', { readOffsetsNs: Array.from({ length: 17 }, (_, k) => k * 500_000) }],
    ['with too many cycles', { cyclesPerRead: 17 }],
    ['with too close edges', { edgeSpacingNs: { minNs: 99, maxNs: 2600 } }],
    ['with half a range', { edgeSpacingNs: { minNs: 2600 } }],
    ['with an unknown standard', { standard: '524-line' }],
    ['with an unknown drive', { drive: { kind: 'floats' } }],
    ['released without a rise', { drive: { kind: 'released' } }],
    ['without samples', { samples: [] }],
    ['with a sample of no pin', { samples: [{ cycle: 1, level: 'high', pins: {} }] }],
    ['with a sample of a power pin', { samples: [{ cycle: 1, level: 'high', pins: { 5: 'up' } }] }],
    ['with an unknown input', { samples: [{ cycle: 1, level: 'high', pins: { 1: 'jump' } }] }],
    ['identified by no pin', { sixButtons: { kind: 'identified', cycle: 3, level: 'low', lowPins: [] } }],
    ['with a key of its own', { colour: 'blue' }],
  ])('refuses a title %s, as the reader does', (_, change) => {
    const wrong = { ...demo('nine-moths.json'), ...change }
    expect(valid(wrong)).toBe(false)
    expect(readJson(TITLE_KIND, wrong).ok).toBe(false)
  })

  it('refuses a title from which any key is gone, but for the one with a default', () => {
    for (const key of Object.keys(demo('nine-moths.json'))) {
      const { [key]: _, ...rest } = demo('nine-moths.json')
      expect(valid(rest), key).toBe(false)
    }
    const [first, ...samples] = demo('nine-moths.json')['samples'] as [Record<string, unknown>]
    const { when: _, ...always } = first
    expect(valid({ ...demo('nine-moths.json'), samples: [always, ...samples] })).toBe(true)
  })
})
