import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { writeProfile } from '../../src/profile/file.ts'
import { fileOf } from '../../src/shelf/out-file.ts'
import { MAX_FILE_BYTES, readFile } from '../../src/shelf/read-file.ts'
import { arbProfile } from '../arbitraries.ts'
import { arbTitle } from '../bench/arbitrary-title.ts'
import { arbitraryLayout } from '../pad/arbitrary-layout.ts'
import { fitLayouts } from '../../src/profile/fit-layouts.ts'
import { draws } from '../draws.ts'

const bytesOf = (text: string) => new TextEncoder().encode(text)
const card = { id: 'x', revision: 1, place: 0, origin: 'own' } as const
const sentence = (bytes: Uint8Array): string => {
  const read = readFile('some.json', bytes)
  if (read.ok) throw new Error('this was to be refused')
  return read.error
}
const SIX = writeProfile(BUILT_IN_PROFILES['six-button'])

describe('a file by what is in it', () => {
  it('is a profile, a title or an image, and comes back equal', () => {
    fc.assert(
      fc.property(arbProfile, (document) => {
        const { text } = fileOf({ kind: 'profile', ...card, document })
        expect(readFile('p', bytesOf(text))).toEqual({ ok: true, value: [{ kind: 'profile', document }] })
        const image = readFile('p.n9p', encodeImage(document))
        expect(image).toEqual({
          ok: true,
          value: [{ kind: 'profile', document: { ...document, notes: '' } }],
        })
      }),
      { numRuns: draws(100) },
    )
    fc.assert(
      fc.property(arbTitle, (document) => {
        const { text } = fileOf({ kind: 'title', ...card, document })
        expect(readFile('t', bytesOf(text))).toEqual({ ok: true, value: [{ kind: 'title', document }] })
      }),
      { numRuns: draws(100) },
    )
  })

  it('is refused where an image has late replies, which a profile would lose: it says where they go', () => {
    const sweep = {
      input: 'a',
      phases: [{ row: 0, level: 'low' }],
      ...{ firstNs: 16, stepNs: 104, steps: 20, onMs: 500, offMs: 500 },
    } as const
    const said = sentence(encodeImage(BUILT_IN_PROFILES['three-button'], [], sweep))
    expect(said).toBe(
      'some.json: this is a probe with late replies, which no profile holds; flash the file as it is, with ninepin flash and --trial.',
    )
  })

  it('is a layout, and an image brings the layouts of its pads', () => {
    fc.assert(
      fc.property(arbitraryLayout(), arbProfile, (document, profile) => {
        const { name, text } = fileOf({ kind: 'layout', ...card, document })
        expect(name).toMatch(/\.layout\.json$/)
        expect(readFile('l', bytesOf(text))).toEqual({ ok: true, value: [{ kind: 'layout', document }] })
        const { fit } = fitLayouts([document])
        const layouts = fit.map((one) => ({ kind: 'layout', document: { ...one, notes: '' } }))
        expect(readFile('p.n9p', encodeImage(profile, fit))).toEqual({
          ok: true,
          value: [...layouts, { kind: 'profile', document: { ...profile, notes: '' } }],
        })
      }),
      { numRuns: draws(100) },
    )
  })

  it('is refused in one sentence with its name and place', () => {
    expect(sentence(bytesOf(SIX.slice(0, 300)))).toMatch(/^some\.json: line \d+: the file is cut off/)
    expect(sentence(bytesOf(SIX.replace('"version": 2', '"version": 7')))).toMatch(
      /^some\.json: version: .*newer Ninepin/,
    )
    expect(sentence(bytesOf(SIX.replace('"1": "up"', '"1": "upp"')))).toMatch(
      /^some\.json: chart\.cycles\[0\]\.high\.1: /,
    )
    expect(sentence(bytesOf('{"format": "something"}'))).toMatch(/^some\.json: format: .*"something"/)
    expect(sentence(bytesOf(''))).toBe('some.json: the file is empty.')
    expect(sentence(Uint8Array.of(0x7b, 0xff))).toMatch(/^some\.json: byte 1: the file is not UTF-8/)
    expect(sentence(new Uint8Array(MAX_FILE_BYTES + 1))).toContain(`${MAX_FILE_BYTES} at most`)
    const image = encodeImage(BUILT_IN_PROFILES['six-button'])
    expect(sentence(image.subarray(0, 90))).toMatch(/^some\.json: byte \d+: the image is cut off/)
  })

  it('never throws and never hangs, whatever the bytes', () => {
    const seeds = [bytesOf(SIX), encodeImage(BUILT_IN_PROFILES['three-button'])]
    const demo = new URL('../../static/demo/titles/nine-moths.json', import.meta.url)
    seeds.push(new Uint8Array(readFileSync(demo)))
    const mutated = fc
      .record({
        seed: fc.constantFrom(...seeds),
        cut: fc.nat(),
        edits: fc.array(fc.tuple(fc.nat(), fc.integer({ min: 0, max: 255 })), { maxLength: 4 }),
      })
      .map(({ seed, cut, edits }) => {
        const bytes = seed.slice(0, cut % 3 === 0 ? cut % (seed.length + 1) : seed.length)
        for (const [at, value] of edits) if (bytes.length > 0) bytes[at % bytes.length] = value
        return bytes
      })
    fc.assert(
      fc.property(fc.oneof(mutated, fc.uint8Array({ maxLength: 600 }), fc.json().map(bytesOf)), (bytes) => {
        const read = readFile('f', bytes)
        if (!read.ok) expect(read.error).toMatch(/^f: .+\.$/)
      }),
      { numRuns: draws(10_000) },
    )
  })
})
