import { readFileSync, readdirSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { documentSentence } from '../../src/document/document.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import { TITLE_LIMITS } from '../../src/title/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbTitle } from '../bench/arbitrary-title.ts'

const DEMOS = new URL('../../static/demo/titles/', import.meta.url)
const NINE_MOTHS = readFileSync(new URL('nine-moths.json', DEMOS), 'utf8')

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)

const read = (bytes: Uint8Array): Title => {
  const result = readTitle(bytes)
  if (!result.ok) throw new Error(documentSentence(result.error))
  return result.value
}
const sentence = (bytes: Uint8Array): string => {
  const result = readTitle(bytes)
  if (result.ok) throw new Error('this was to be refused')
  return documentSentence(result.error)
}

/** A demo title with one value put in another's place, or taken away. */
function changed(path: string, value: unknown): Uint8Array {
  const json = JSON.parse(NINE_MOTHS) as Record<string, unknown>
  const keys = path.split('.')
  const last = keys.pop() as string
  const place = keys.reduce((at, key) => at[key] as Record<string, unknown>, json)
  if (value === undefined) Reflect.deleteProperty(place, last)
  else place[last] = value
  return bytesOf(JSON.stringify(json))
}

describe('a title file', () => {
  it('comes back as the title that was written', () => {
    fc.assert(
      fc.property(arbTitle, (title) => {
        const text = writeTitle(title)
        expect(read(bytesOf(text))).toEqual(title)
        expect(writeTitle(read(bytesOf(text)))).toBe(text)
      }),
      { numRuns: 500 },
    )
  })

  it.each(readdirSync(DEMOS))('of the museum is read: %s', (name) => {
    expect(() => read(readFileSync(new URL(name, DEMOS)))).not.toThrow()
  })

  it('of version 1 means what it meant: no jitter, an exact clock, nothing known of opposite directions', () => {
    const {
      readJitterNs: _jitter,
      clockPpm: _ppm,
      takesOpposite: _opposite,
      ...first
    } = read(bytesOf(NINE_MOTHS))
    const lifted = read(bytesOf(JSON.stringify({ ...first, version: 1 })))
    expect(lifted).toEqual({ ...first, version: 2, readJitterNs: 0, clockPpm: 0, takesOpposite: true })
  })

  it('may leave out when a sample is taken: always', () => {
    expect(read(changed('samples.0.when', undefined)).samples[0]?.when).toBe('always')
  })

  it.each<[string, unknown]>([
    ['name', 'n'.repeat(TITLE_LIMITS.nameLength)],
    ['name', 'Öllämpchen 灯 🪔'],
    ['notes', 'n'.repeat(TITLE_LIMITS.notesLength)],
    ['notes', 'two\nlines'],
    ['readOffsetsNs', [frameNs('525-line') - 1 - 3 - 2 * 4 * 2800]],
    ['readJitterNs', TITLE_LIMITS.maxReadJitterNs],
    ['clockPpm', TITLE_LIMITS.maxClockPpm],
    ['readOffsetsNs', [0, 2 * 4 * 2800 + 1 + 3]],
    ['sampleAfterEdgeNs', { minNs: 0, maxNs: 2599 }],
    ['drive', { kind: 'released', riseNs: { minNs: 0, maxNs: 1_000_000 } }],
    ['samples.0.pins', { 9: 'up' }],
  ])('may go to the bounds: %s', (path, value) => {
    expect(() => read(changed(path, value))).not.toThrow()
  })
})

describe('a wrong title is refused with its place', () => {
  const longest = 2 * 4 * 2800
  const frame = frameNs('525-line')

  it.each<[string, unknown, string]>([
    ['format', 'ninepin-profile', 'format: a title says "ninepin-title" here; this is "ninepin-profile"'],
    [
      'version',
      3,
      'version: this title was written by a newer Ninepin (version 3); this one reads up to version 2',
    ],
    ['version', '1', 'version: expected a whole number from 1 on, found "1"'],
    ['name', '', 'name: a name is needed'],
    ['name', ' \u00a0', 'name: a name is needed'],
    ['name', ' Nine Moths', 'name: a name cannot start or end with a space'],
    ['name', 'Nine\nMoths', 'name: a name stands on one line, without control characters'],
    ['name', 'Nine \u001b[7mMoths', 'name: a name stands on one line, without control characters'],
    ['name', 'Moth \ud83e', 'name: the name holds half a character; type it again'],
    ['name', 'n'.repeat(61), 'name: the name has 61 characters; 60 at most'],
    ['name', 5, 'name: expected a text, found 5'],
    ['notes', 'n'.repeat(2001), 'notes: the notes have 2001 characters; 2000 at most'],
    ['notes', '\udc00', 'notes: the notes hold half a character; type it again'],
    ['notes', undefined, 'notes: this is missing'],
    ['fragile', 'yes', 'fragile: expected true or false, found "yes"'],
    ['standard', '524-line', 'standard: expected "525-line" or "625-line", found "524-line"'],
    ['standard', undefined, 'standard: this is missing'],
    ['readOffsetsNs', [], 'readOffsetsNs: at least one read is needed'],
    [
      'readOffsetsNs',
      Array.from({ length: 17 }, (_, k) => k * 100_000),
      'readOffsetsNs: 16 reads a frame at most; these are 17',
    ],
    [
      'readOffsetsNs.0',
      1.5,
      'readOffsetsNs[0]: expected a whole number of ns from 0 to 100000000, found 1.5',
    ],
    [
      'readOffsetsNs',
      [0, -1],
      'readOffsetsNs[1]: expected a whole number of ns from 0 to 100000000, found -1',
    ],
    ['readOffsetsNs', [null], 'readOffsetsNs[0]: expected a number, found null'],
    [
      'readOffsetsNs',
      [7, 7 + longest],
      `readOffsetsNs[1]: this read begins at ${7 + longest} ns, but the one before it can last until ${7 + longest} ns`,
    ],
    [
      'readOffsetsNs',
      [0, 900_000, 400_000],
      `readOffsetsNs[2]: this read begins at 400000 ns, but the one before it can last until ${900_000 + longest} ns`,
    ],
    [
      'readOffsetsNs',
      [0, frame - longest],
      `readOffsetsNs[1]: this read can last until ${frame} ns, but the next frame begins at ${frame} ns`,
    ],
    ['cyclesPerRead', 0, 'cyclesPerRead: expected a whole number of cycles from 1 to 16, found 0'],
    ['cyclesPerRead', 17, 'cyclesPerRead: expected a whole number of cycles from 1 to 16, found 17'],
    ['cyclesPerRead', '4', 'cyclesPerRead: expected a number, found "4"'],
    ['cyclesPerRead', 3, 'samples[2].cycle: there is no cycle 4: a read has 3'],
    ['edgeSpacingNs', { minNs: 3000, maxNs: 2999 }, 'edgeSpacingNs: minNs (3000) is above maxNs (2999)'],
    ['edgeSpacingNs', 2600, 'edgeSpacingNs: expected an object, found 2600'],
    ['edgeSpacingNs', { minNs: 2600 }, 'edgeSpacingNs.maxNs: this is missing'],
    [
      'edgeSpacingNs.minNs',
      99,
      'edgeSpacingNs.minNs: expected a whole number of ns from 100 to 1000000, found 99',
    ],
    ['edgeSpacingNs.unit', 'ns', 'edgeSpacingNs.unit: unknown key'],
    [
      'sampleAfterEdgeNs',
      { minNs: 0, maxNs: 2600 },
      'sampleAfterEdgeNs.maxNs: a sample has to come before the next edge, which can follow after 2600 ns; this is 2600',
    ],
    ['sampleAfterEdgeNs', { minNs: 2, maxNs: 1 }, 'sampleAfterEdgeNs: minNs (2) is above maxNs (1)'],
    ['rest', 'up', 'rest: expected "low" or "high", found "up"'],
    ['drive', 'driven', 'drive: expected an object, found "driven"'],
    ['drive', {}, 'drive.kind: this is missing'],
    ['drive', { kind: 'floats' }, 'drive.kind: expected "driven" or "released", found "floats"'],
    ['drive', { kind: 'released' }, 'drive.riseNs: this is missing'],
    ['drive', { kind: 'driven', riseNs: { minNs: 1, maxNs: 2 } }, 'drive.riseNs: unknown key'],
    [
      'drive',
      { kind: 'released', riseNs: { minNs: 2, maxNs: 1 } },
      'drive.riseNs: minNs (2) is above maxNs (1)',
    ],
    ['samples', [], 'samples: at least one sample is needed'],
    ['samples.1.cycle', 5, 'samples[1].cycle: there is no cycle 5: a read has 4'],
    ['samples.1.cycle', 0, 'samples[1].cycle: expected the number of a cycle from 1 to 16, found 0'],
    ['samples.1.level', 'mid', 'samples[1].level: expected "low" or "high", found "mid"'],
    ['samples.1.level', 'high', 'samples[1]: samples[0] is taken in cycle 1 high already'],
    ['samples.1.when', 'often', 'samples[1].when: expected "always" or "six-buttons", found "often"'],
    ['samples.1.pins', {}, 'samples[1].pins: at least one pin is needed'],
    ['samples.1.pins', [], 'samples[1].pins: at least one pin is needed'],
    ['samples.1.pins', { 5: 'up' }, 'samples[1].pins.5: unknown key'],
    [
      'samples.1.pins',
      { 6: 'upp' },
      'samples[1].pins.6: expected one of "up", "down", "left", "right", "a", "b", "c", "start", "x", "y", "z", "mode", found "upp"',
    ],
    [
      'sixButtons',
      { kind: 'never' },
      'samples[2].when: this sample waits for six buttons, but the title never looks for them',
    ],
    [
      'sixButtons',
      { kind: 'perhaps' },
      'sixButtons.kind: expected one of "never", "assumed", "identified", found "perhaps"',
    ],
    ['sixButtons', null, 'sixButtons: expected an object, found null'],
    ['sixButtons.cycle', 9, 'sixButtons.cycle: there is no cycle 9: a read has 4'],
    ['sixButtons.cycle', undefined, 'sixButtons.cycle: this is missing'],
    ['sixButtons.lowPins', [], 'sixButtons.lowPins: at least one pin is needed'],
    ['sixButtons.lowPins', [1, 2, 1], 'sixButtons.lowPins: a pin stands here twice'],
    ['sixButtons.lowPins', [5], 'sixButtons.lowPins[0]: expected one of 1, 2, 3, 4, 6, 9, found 5'],
    ['colour', 'blue', 'colour: unknown key'],
  ])('%s = %j', (path, value, said) => {
    expect(sentence(changed(path, value))).toBe(said)
  })

  it('cut off', () => {
    for (const length of [1, 20, 300, NINE_MOTHS.trimEnd().length - 1]) {
      const start = NINE_MOTHS.slice(0, length)
      expect(sentence(bytesOf(start))).toBe(
        `line ${start.split('\n').length}: the file is cut off: the JSON does not end`,
      )
    }
  })

  it('empty, too large, not UTF-8', () => {
    expect(sentence(bytesOf(''))).toBe('the file is empty')
    const full = bytesOf(NINE_MOTHS.padEnd(TITLE_LIMITS.fileBytes))
    expect(() => read(full)).not.toThrow()
    expect(sentence(bytesOf(NINE_MOTHS.padEnd(TITLE_LIMITS.fileBytes + 1)))).toBe(
      'the file has 65537 bytes; a title has 65536 at most',
    )
    const latin1 = Uint8Array.from(`{"name":"L\u00e4mpchen"}`, (character) => character.charCodeAt(0))
    expect(sentence(latin1)).toBe('byte 10: the file is not UTF-8 text')
  })
})

describe('whatever the bytes are', () => {
  /** Values that stand in titles, near misses of them, and anything. */
  const arbValue = fc.oneof(
    fc.constantFrom<unknown>(0, 1, -1, 4, 17, 2600, 1e300, 0.5, 'low', 'high', 'up', 'never', '', null, true),
    fc.constantFrom<unknown>([], {}, [1], { kind: 'identified' }, { minNs: 5, maxNs: 1 }),
    fc.jsonValue(),
  )

  /** Every path in a title. */
  const paths = (value: unknown, path: readonly string[] = []): string[][] => [
    [...path],
    ...(typeof value === 'object' && value !== null
      ? Object.entries(value).flatMap(([key, inner]) => paths(inner, [...path, key]))
      : []),
  ]

  const arbBent = fc
    .record({
      title: arbTitle,
      bends: fc.array(fc.record({ which: fc.nat(), value: fc.option(arbValue, { nil: undefined }) }), {
        minLength: 1,
        maxLength: 3,
      }),
    })
    .map(({ title, bends }) => {
      let json: unknown = structuredClone(title)
      for (const { which, value } of bends) {
        const all = paths(json)
        const path = all[which % all.length] ?? []
        const last = path[path.length - 1]
        if (last === undefined) json = value ?? null
        else {
          const place = path.slice(0, -1).reduce((at, key) => (at as Record<string, unknown>)[key], json)
          if (value === undefined) Reflect.deleteProperty(place as object, last)
          else (place as Record<string, unknown>)[last] = structuredClone(value)
        }
      }
      return bytesOf(JSON.stringify(json))
    })

  const arbTorn = fc
    .record({ title: arbTitle, at: fc.nat(), drop: fc.nat(6), put: fc.uint8Array({ maxLength: 4 }) })
    .map(({ title, at, drop, put }) => {
      const whole = bytesOf(writeTitle(title))
      const place = at % whole.length
      return Uint8Array.from([...whole.subarray(0, place), ...put, ...whole.subarray(place + drop)])
    })

  it('the answer is a title that comes back, or one sentence', () => {
    let sound = 0
    let refused = 0
    fc.assert(
      fc.property(
        fc.oneof(
          { weight: 6, arbitrary: arbBent },
          { weight: 3, arbitrary: arbTorn },
          { weight: 1, arbitrary: fc.uint8Array({ maxLength: 200 }) },
        ),
        (bytes) => {
          const result = readTitle(bytes)
          if (result.ok) {
            sound++
            expect(read(bytesOf(writeTitle(result.value)))).toEqual(result.value)
          } else {
            refused++
            const said = documentSentence(result.error)
            expect(said).not.toMatch(/\n|undefined|\[object/)
            expect(said.length).toBeLessThan(400)
          }
        },
      ),
      { numRuns: 10_000 },
    )
    expect(sound).toBeGreaterThan(200)
    expect(refused).toBeGreaterThan(2_000)
  })
})
