import { readFileSync, readdirSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../src/document/document.ts'
import { writeTitle } from '../../src/title/file.ts'
import { TITLE_KIND, TITLE_VERSION, TitleSchema } from '../../src/title/schema.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { CASES } from '../bench/steps-titles.ts'
import { publishedSchema, schemaText, validator } from '../published-schema.ts'
import { arbShortTitle } from './arbitrary-short.ts'
import { changedJson } from './changed-json.ts'
import { HAND_TITLE } from './hand-title.ts'
import { draws } from '../draws.ts'

const FILE = new URL('../../static/schema/title.schema.json', import.meta.url)
const DEMOS = new URL('../../static/demo/titles/', import.meta.url)

const schema = publishedSchema(TitleSchema, {
  $id: `urn:ninepin:title:${TITLE_VERSION}`,
  title: 'Ninepin title',
  description:
    'What the code of a title does to the port: when it moves select, when it samples, what it concludes. Times are whole ' +
    'nanoseconds. The reader also checks that the fields go together.',
})

describe('the JSON Schema of a title', () => {
  it('is that of the reader', async () => {
    await expect(schemaText(schema)).toMatchFileSnapshot(FILE.pathname)
  })

  const valid = validator(schema)

  it.each(readdirSync(DEMOS))('takes the titles of the museum: %s', (name) => {
    expect(valid(JSON.parse(readFileSync(new URL(name, DEMOS), 'utf8')))).toBe(true)
  })

  it('takes a title that is written by hand, with all left out that may be', () => {
    expect(valid(JSON.parse(JSON.stringify(HAND_TITLE)))).toBe(true)
  })

  it('takes every title that we write', () => {
    for (const { title } of CASES) expect(valid(JSON.parse(writeTitle(title))), title.name).toBe(true)
    fc.assert(
      fc.property(arbShortTitle, (short) => {
        expect(valid(JSON.parse(writeTitle(titleOfShort(short))))).toBe(true)
      }),
      { numRuns: draws(500) },
    )
  })

  const [{ steps }] = HAND_TITLE.modes[0].reads
  const after = { minNs: 0, maxNs: 1 }
  it.each<[string, string, unknown]>([
    ['of another format', 'format', 'ninepin-profile'],
    ['of a future version', 'version', TITLE_VERSION + 1],
    ['without a name', 'name', ''],
    ['with too long a name', 'name', 'n'.repeat(61)],
    ['with half a nanosecond', 'modes.0.reads.0.starts.offsetsNs', [0.5]],
    ['with a time before the frame', 'modes.0.reads.0.starts.offsetsNs', [-1]],
    ['with a read that never starts', 'modes.0.reads.0.starts.offsetsNs', []],
    ['without reads', 'modes.0.reads', []],
    ['without modes', 'modes', []],
    ['with too many reads', 'modes.0.reads', Array.from({ length: 17 }, () => HAND_TITLE.modes[0].reads[0])],
    ['without steps', 'modes.0.reads.0.steps', []],
    ['with a thousand steps', 'modes.0.reads.0.steps', Array.from({ length: 1_000 }, () => steps[1])],
    ['with a repeat in a repeat', 'modes.0.reads.0.steps.0.steps.0', steps[0]],
    ['with a step of nothing', 'modes.0.reads.0.steps.1', { after }],
    ['with a step without its time', 'modes.0.reads.0.steps.1', { select: 'low' }],
    ['with half a range', 'modes.0.reads.0.steps.1', { select: 'low', after: { minNs: 2600 } }],
    ['with an unknown level', 'modes.0.reads.0.steps.1', { select: 'up', after }],
    ['with a sample of a power pin', 'modes.0.reads.0.steps.1', { sample: { 5: 'up' }, after }],
    ['with an unknown input', 'modes.0.reads.0.steps.1', { sample: { 1: 'jump' }, after }],
    ['with an unknown standard', 'standard', '524-line'],
    ['of an unknown port', 'port', 'two-lines'],
    ['told by nothing', 'sixButtons.by', []],
    ['with an unknown source', 'sources', { idle: { kind: 'heard' } }],
    ['with a key of its own', 'colour', 'blue'],
  ])('refuses a title %s, as the reader does', (_, path, value) => {
    const wrong = changedJson(HAND_TITLE, path, value)
    expect(valid(wrong)).toBe(false)
    expect(readJson(TITLE_KIND, wrong).ok).toBe(false)
  })

  it('refuses a title from which any key is gone, but for those that may be left out', () => {
    for (const key of Object.keys(HAND_TITLE))
      expect(valid(changedJson(HAND_TITLE, key, undefined)), key).toBe(key === 'captures')
    for (const key of ['starts', 'steps'])
      expect(valid(changedJson(HAND_TITLE, `modes.0.reads.0.${key}`, undefined)), key).toBe(false)
  })
})
