import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { documentSentence } from '../../src/document/document.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { decodeImage, imageSentence, layoutsOfImage } from '../../src/profile/decode-image.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { readProfile, writeProfile } from '../../src/profile/file.ts'
import { fitLayouts } from '../../src/profile/fit-layouts.ts'
import { loadImage } from '../reference/profile/run-image.ts'
import { arbProfile } from '../arbitraries.ts'
import { arbitraryLayout } from '../pad/arbitrary-layout.ts'
import { sealed } from './image-bytes.ts'
import { oldImage } from './old-images.ts'
import { withoutFileWords } from '../file-words.ts'
import { draws } from '../draws.ts'

/** Ten thousand cases for each reader: no exception, no hang, and a sentence for whatever is refused. */
const CASES = { numRuns: draws(10_000) }

const FILES = Object.values(BUILT_IN_PROFILES).map((profile) =>
  new TextEncoder().encode(writeProfile(profile)),
)
const LAYOUTS = fitLayouts(
  fc.sample(arbitraryLayout({ vias: ['hid', 'vendor'], extractors: 12 }), { numRuns: 4, seed: 6 }),
).fit
const IMAGES = [
  ...Object.values(BUILT_IN_PROFILES).map((profile) => encodeImage(profile)),
  ...fc.sample(arbProfile, { numRuns: 3, seed: 6 }).map((profile) => encodeImage(profile, LAYOUTS)),
  oldImage('fuller'),
]

/** Cuts, drops, doubles and changes parts of good bytes. */
const arbDamaged = (good: readonly Uint8Array[]) =>
  fc
    .record({
      bytes: fc.constantFrom(...good),
      damage: fc.array(
        fc.record({
          kind: fc.constantFrom('change', 'insert', 'drop', 'cut', 'double'),
          at: fc.nat(),
          length: fc.integer({ min: 1, max: 20 }),
          byte: fc.nat(255),
        }),
        { minLength: 1, maxLength: 5 },
      ),
    })
    .map(({ bytes, damage }) => {
      let list = [...bytes]
      for (const { kind, at, length, byte } of damage) {
        const place = at % (list.length + 1)
        if (kind === 'change') list[place] = byte
        else if (kind === 'insert') list.splice(place, 0, byte)
        else if (kind === 'drop') list.splice(place, length)
        else if (kind === 'cut') list = list.slice(0, place)
        else list.splice(place, 0, ...list.slice(place, place + length))
      }
      return Uint8Array.from(list)
    })

const checkFile = (bytes: Uint8Array): void => {
  const result = readProfile(bytes)
  if (result.ok) expect(readProfile(new TextEncoder().encode(writeProfile(result.value)))).toEqual(result)
  else checkSentence(documentSentence(result.error))
}
const checkImage = (bytes: Uint8Array): void => {
  const result = decodeImage(bytes)
  expect(loadImage(bytes).ok).toBe(result.ok)
  if (result.ok) {
    // Nobody writes version 1 any more.
    if (bytes[4] === 1) return
    expect(encodeImage(result.value, layoutsOfImage(bytes))).toEqual(Uint8Array.from(bytes))
  } else {
    expect(layoutsOfImage(bytes)).toEqual([])
    checkSentence(imageSentence(result.error))
    expect(result.error.byte).toBeLessThanOrEqual(bytes.length)
  }
}
const checkSentence = (said: string): void => {
  expect(said.length).toBeGreaterThan(10)
  expect(said.length).toBeLessThan(400)
  expect(withoutFileWords(said)).not.toMatch(/undefined|\[object|NaN|\n/)
}

describe('profile files', () => {
  it('random bytes', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 300 }), checkFile), CASES)
  })

  it('good files damaged', () => {
    fc.assert(fc.property(arbDamaged(FILES), checkFile), CASES)
  })

  it('good JSON with wrong values in it', () => {
    const arbWrong = fc.oneof(
      fc.jsonValue({ maxDepth: 2 }),
      fc.constantFrom(-1, 0.5, Number.MAX_VALUE, '', [], {}, null),
    )
    const graft = (json: unknown, path: readonly number[], wrong: unknown): unknown => {
      const [step, ...rest] = path
      if (step === undefined || typeof json !== 'object' || json === null) return wrong
      const keys = Object.keys(json)
      const key = keys[step % Math.max(1, keys.length)]
      if (key === undefined) return wrong
      const copy = (Array.isArray(json) ? [...(json as unknown[])] : { ...json }) as Record<string, unknown>
      copy[key] = graft(copy[key], rest, wrong)
      return copy
    }
    fc.assert(
      fc.property(
        arbProfile,
        fc.array(fc.nat(20), { minLength: 1, maxLength: 6 }),
        arbWrong,
        (profile, path, wrong) => {
          checkFile(new TextEncoder().encode(JSON.stringify(graft(profile, path, wrong))))
        },
      ),
      CASES,
    )
  })

  it('nesting as deep as the file is long', () => {
    for (const open of ['[', '{"a":', '{"format":"ninepin-profile","version":1,"mapping":[']) {
      checkFile(new TextEncoder().encode(open.repeat(Math.floor(131_072 / open.length))))
    }
    checkFile(new TextEncoder().encode('['.repeat(65_536) + ']'.repeat(65_536)))
  })
})

describe('images', () => {
  it('random bytes', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 520 }), checkImage), CASES)
  })

  it('good images damaged', () => {
    fc.assert(fc.property(arbDamaged(IMAGES), checkImage), CASES)
  })

  it('good images damaged, with the length and the CRC made good', () => {
    fc.assert(
      fc.property(arbDamaged(IMAGES), (bytes) => {
        if (bytes.length < 12) return checkImage(bytes)
        new DataView(bytes.buffer).setUint16(6, bytes.length, true)
        checkImage(sealed(bytes))
      }),
      CASES,
    )
  })
})
