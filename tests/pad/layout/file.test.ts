import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { documentSentence } from '../../../src/document/document.ts'
import { STANDARD_LAYOUT, VENDOR_LAYOUT } from '../../../src/pad/layout/built-in.ts'
import { readLayout, writeLayout } from '../../../src/pad/layout/file.ts'
import { LAYOUT_LIMITS } from '../../../src/pad/layout/schema.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { encodePad } from '../../../src/profile/encode-pad.ts'
import { arbitraryLayout } from '../arbitrary-layout.ts'
import { draws } from '../../draws.ts'

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)

/** What a changed layout is refused with. */
const sentence = (layout: unknown): string => {
  const result = readLayout(bytesOf(JSON.stringify(layout)))
  if (result.ok) throw new Error('this was to be refused')
  return documentSentence(result.error)
}
const withExtractor = (change: object): unknown => ({
  ...STANDARD_LAYOUT,
  extractors: [{ ...STANDARD_LAYOUT.extractors[0], ...change }],
})

describe('a layout file', () => {
  it('comes back as the layout that was written, and fits', () => {
    fc.assert(
      fc.property(arbitraryLayout(), (layout) => {
        const bytes = bytesOf(writeLayout(layout))
        expect(bytes.length).toBeLessThanOrEqual(LAYOUT_LIMITS.fileBytes)
        expect(readLayout(bytes)).toEqual({ ok: true, value: layout })
      }),
      { numRuns: draws(200) },
    )
  })

  it('is the same layout, and the same bytes in an image, whether or not a step of 1 is written', () => {
    const field = { report: 0, bit: 0, bits: 4, signed: false }
    const hat = { kind: 'hat', cross: 'dpad', field, first: 0, positions: 8 } as const
    const read = (one: object) => readLayout(bytesOf(JSON.stringify({ ...VENDOR_LAYOUT, extractors: [one] })))
    const [without, with1, with2] = [hat, { ...hat, step: 1 }, { ...hat, step: 2 }].map(read)
    if (!without?.ok || !with1?.ok || !with2?.ok) throw new Error('these are layouts')
    expect(without.value.extractors).toEqual([{ ...hat, step: 1 }])
    expect(encodePad(without.value)).toEqual(encodePad(with1.value))
    expect(encodePad(with2.value)).not.toEqual(encodePad(with1.value))
    expect(sentence({ ...VENDOR_LAYOUT, extractors: [{ ...hat, step: 0 }] })).toMatch(/from 1 to 1000000/)
  })

  it('has room for the largest layout there is', () => {
    const axis = STANDARD_LAYOUT.extractors.at(-1)
    const longest: Layout = {
      ...VENDOR_LAYOUT,
      notes: '\u0001'.repeat(LAYOUT_LIMITS.notesBytes),
      extractors: [
        ...STANDARD_LAYOUT.extractors.filter(({ kind }) => kind === 'axis'),
        ...Array.from({ length: LAYOUT_LIMITS.extractors - 4 }, () => ({
          kind: 'array' as const,
          control: 'stick-right-right' as const,
          field: { report: 0, bit: 256, bits: 4, signed: false },
          count: 64,
          value: -0x8000_0000,
        })),
      ],
    }
    expect(axis?.kind).toBe('axis')
    const bytes = bytesOf(writeLayout(longest))
    expect(readLayout(bytes)).toEqual({ ok: true, value: longest })
  })

  it.each([
    [{ ...STANDARD_LAYOUT, extractors: [] }, 'extractors: at least one control has to be found'],
    [
      { ...STANDARD_LAYOUT, extractors: Array.from({ length: 41 }, () => STANDARD_LAYOUT.extractors[0]) },
      'extractors: 40 places at most; these are 41',
    ],
    [
      withExtractor({ field: { report: 0, bit: 0, bits: 32, signed: false } }),
      'extractors[0].field: a field without sign has 31 bits at most',
    ],
    [
      withExtractor({ field: { report: 0, bit: 500, bits: 13, signed: false } }),
      'extractors[0].field: a field ends within the first 64 bytes of a report',
    ],
    [
      withExtractor({ press: 2 ** 31 }),
      'extractors[0].press: expected a whole number of 32 bits, found 2147483648',
    ],
    [withExtractor({ control: 'nose' }), 'extractors[0].control: '],
    [
      {
        ...STANDARD_LAYOUT,
        extractors: [STANDARD_LAYOUT.extractors.at(-1), STANDARD_LAYOUT.extractors.at(-1)],
      },
      'extractors: an axis of a stick is found in one place only',
    ],
    [
      { ...STANDARD_LAYOUT, extractors: [{ ...STANDARD_LAYOUT.extractors.at(-1), centre: 32767 }] },
      'extractors[0]: the centre of an axis lies between its two ends',
    ],
    [
      {
        ...STANDARD_LAYOUT,
        extractors: [
          STANDARD_LAYOUT.extractors[0],
          { ...STANDARD_LAYOUT.extractors[1], field: { report: 3, bit: 0, bits: 1, signed: false } },
        ],
      },
      'extractors: either all reports of a pad have numbers or none has',
    ],
  ])('is refused with its place (%#)', (layout, words) => {
    expect(sentence(layout)).toContain(words)
  })
})
