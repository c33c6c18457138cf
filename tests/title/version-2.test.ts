import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { documentSentence } from '../../src/document/document.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { readShortTitle } from '../../src/title/short-title.ts'
import { TITLE_LIMITS } from '../../src/title/title-limits.ts'
import { titleOfFields, shortTitle } from '../bench/short-titles.ts'
import { arbShortFields } from './arbitrary-short.ts'
import { bytesOfJson, changedJson } from './changed-json.ts'
import { OLD_TITLE } from './old-title.ts'
import { draws, often } from '../draws.ts'

/** What versions 1 and 2 wrote still reads, and means what it meant; what is wrong with it is said in the fields that it has. */

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
const changed = (path: string, value: unknown): Uint8Array => bytesOfJson(changedJson(OLD_TITLE, path, value))

/** Its fields as they are kept today: no figure has a source. */
const lifted = ({ format: _format, version: _version, ...fields }: Record<string, unknown>) => ({
  ...fields,
  mode: '',
  sources: {},
  captures: [],
})

describe('a title file of version 2', () => {
  it('means what it meant', () => {
    expect(shortTitle(read(bytesOfJson(OLD_TITLE)))).toEqual(lifted(OLD_TITLE))
  })

  it('may leave out when a sample is taken: always', () => {
    expect(shortTitle(read(changed('samples.0.when', undefined))).samples[0]?.when).toBe('always')
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
    const title = shortTitle(read(changed(path, value)))
    expect(title).toEqual(lifted(changedJson(OLD_TITLE, path, value) as Record<string, unknown>))
  })

  it('is read if its fields are right and go together, and else the field is named', () => {
    const names = Object.keys(OLD_TITLE)
    const arbBent = fc.record({
      fields: arbShortFields,
      bend: fc.option(
        fc.tuple(
          fc.constantFrom(...names),
          fc.constantFrom<unknown>(undefined, -1, 0.5, 1e9, 'up', null, {}, []),
        ),
        { freq: 2 },
      ),
    })
    let sound = 0
    const said = new Set<string>()
    fc.assert(
      fc.property(arbBent, ({ fields, bend }) => {
        const old = { format: 'ninepin-title', version: 2, ...fields }
        // Without a bend a field is set to what it is.
        const [name, value] = bend ?? ['name', fields.name]
        const file = changedJson(old, name, value)
        const short = readShortTitle(changedJson(fields, name, value) as object)
        const result = readTitle(bytesOfJson(file))
        if (result.ok) {
          sound++
          expect(short.ok).toBe(true)
          const { samples, ...rest } = shortTitle(result.value)
          expect(rest).toEqual({ ...lifted(file as Record<string, unknown>), samples: undefined })
          expect(samples).toHaveLength(fields.samples.length)
          expect(samples).toEqual(expect.arrayContaining([...fields.samples]))
        } else {
          const [field = ''] = result.error.place.split(/[.[]/)
          said.add(field)
          expect(names).toContain(field)
          if (field !== 'format' && field !== 'version') expect(short).toEqual(result)
        }
      }),
      { numRuns: draws(2_000) },
    )
    expect(sound).toBeGreaterThan(often(500))
    expect([...said].sort()).toEqual([...names].sort())
  })
})

describe('a title file of version 1', () => {
  it('means what it meant: no jitter, an exact clock, nothing known of opposite directions', () => {
    const { readJitterNs: _jitter, clockPpm: _ppm, takesOpposite: _opposite, ...first } = OLD_TITLE
    expect(read(bytesOfJson({ ...first, version: 1 }))).toEqual(
      titleOfFields({ ...first, version: 2, readJitterNs: 0, clockPpm: 0, takesOpposite: true }),
    )
  })

  it('that is wrong is told so in its own fields', () => {
    const { readJitterNs: _jitter, clockPpm: _ppm, takesOpposite: _opposite, ...first } = OLD_TITLE
    expect(sentence(bytesOfJson({ ...first, version: 1, cyclesPerRead: 3 }))).toBe(
      'samples[2].cycle: there is no cycle 4: a read has 3',
    )
  })
})

describe('a wrong title of version 2 is refused with its place', () => {
  const longest = 2 * 4 * 2800
  const frame = frameNs('525-line')

  it.each<[string, unknown, string]>([
    ['format', 'ninepin-profile', 'format: a title says "ninepin-title" here; this is "ninepin-profile"'],
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
      'sampleAfterEdgeNs.maxNs: a sample has to come before the next edge, which can follow after 2600 ns; this is 2600 ns',
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
})
