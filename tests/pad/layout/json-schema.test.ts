import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../../src/document/document.ts'
import { VENDOR_LAYOUT } from '../../../src/pad/layout/built-in.ts'
import { writeLayout } from '../../../src/pad/layout/file.ts'
import { LAYOUT_KIND, LAYOUT_LIMITS, LAYOUT_VERSION, LayoutSchema } from '../../../src/pad/layout/schema.ts'
import { publishedSchema, schemaText, validator } from '../../published-schema.ts'
import { arbitraryLayout } from '../arbitrary-layout.ts'
import { draws } from '../../draws.ts'

const FILE = new URL('../../../static/schema/layout.schema.json', import.meta.url)
const DEMO = new URL('../../../static/demo/layouts/loan-pad.json', import.meta.url)
const demo = () => JSON.parse(readFileSync(DEMO, 'utf8')) as Record<string, unknown>

const schema = publishedSchema(LayoutSchema, {
  $id: `urn:ninepin:layout:${LAYOUT_VERSION}`,
  title: 'Ninepin pad layout',
  description:
    'Where in the reports of a pad each control stands; IMAGE.md says to the bit what it means. ' +
    'The reader also checks that the fields go together.',
})

describe('the JSON Schema of a pad layout', () => {
  it('is that of the reader', async () => {
    await expect(schemaText(schema)).toMatchFileSnapshot(FILE.pathname)
  })

  const valid = validator(schema)

  it('takes the pad of the museum, and every layout that we write', () => {
    expect(valid(demo())).toBe(true)
    fc.assert(
      fc.property(arbitraryLayout(), (layout) => {
        expect(valid(JSON.parse(writeLayout(layout)))).toBe(true)
      }),
      { numRuns: draws(200) },
    )
  })

  const [one] = VENDOR_LAYOUT.extractors
  it.each<[string, Record<string, unknown>]>([
    ['of another format', { format: 'ninepin-profile' }],
    ['of a future version', { version: LAYOUT_VERSION + 1 }],
    ['without a name', { name: '' }],
    ['without controls', { extractors: [] }],
    [
      'with too many controls',
      { extractors: Array.from({ length: LAYOUT_LIMITS.extractors + 1 }, () => one) },
    ],
    ['with an unknown kind', { extractors: [{ ...one, kind: 'dial' }] }],
    ['with an unknown control', { extractors: [{ ...one, control: 'pedal' }] }],
    ['with half a bit', { extractors: [{ ...one, field: { report: 0, bit: 0.5, bits: 1, signed: false } }] }],
    [
      'with a field of no bits',
      { extractors: [{ ...one, field: { report: 0, bit: 0, bits: 0, signed: false } }] },
    ],
    [
      'with a product of 17 bits',
      { pad: { via: 'hid', vendorId: 1, productId: 0x10000, descriptorCrc32: null } },
    ],
    ['read in an unknown way', { pad: { via: 'wire', vendorId: 1, productId: 1, descriptorCrc32: null } }],
    ['with a key of its own', { colour: 'blue' }],
  ])('refuses a layout %s, as the reader does', (_, change) => {
    const wrong = { ...demo(), ...change }
    expect(valid(wrong)).toBe(false)
    expect(readJson(LAYOUT_KIND, wrong).ok).toBe(false)
  })

  it('refuses a layout from which any key is gone', () => {
    for (const key of Object.keys(demo())) {
      const { [key]: _, ...rest } = demo()
      expect(valid(rest), key).toBe(false)
    }
  })
})
