import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { documentSentence } from '../../src/document/document.ts'
import { CONTROLS } from '../../src/pad/controls.ts'
import type { Cycle } from '../../src/port/chart.ts'
import { SIX_BUTTON_CHART } from '../../src/port/family.ts'
import { INPUTS } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readProfile, writeProfile } from '../../src/profile/file.ts'
import { LIMITS } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { arbProfile } from '../arbitraries.ts'
import { draws } from '../draws.ts'

const everyInput = <T>(value: T) =>
  Object.fromEntries(INPUTS.map((input) => [input, value])) as Record<Input, T>
const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)

const SIX = BUILT_IN_PROFILES['six-button']

/** A built-in profile as free JSON, with a change. */
type Json = Record<string, unknown>
const changed = (change: (json: Json) => void): Uint8Array => {
  const json = JSON.parse(writeProfile(SIX)) as Json
  change(json)
  return bytesOf(JSON.stringify(json))
}
const put =
  (path: string, value: unknown) =>
  (json: Json): void => {
    const keys = path.split('.')
    const last = keys.pop() as string
    const place = keys.reduce<Json>((at, key) => at[key] as Json, json)
    if (value === undefined) Reflect.deleteProperty(place, last)
    else place[last] = value
  }

const read = (bytes: Uint8Array): Profile => {
  const result = readProfile(bytes)
  if (!result.ok) throw new Error(documentSentence(result.error))
  return result.value
}
const sentence = (bytes: Uint8Array): string => {
  const result = readProfile(bytes)
  if (result.ok) throw new Error('this was to be refused')
  return documentSentence(result.error)
}

describe('a profile file', () => {
  it('comes back as the profile that was written', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        expect(read(bytesOf(writeProfile(profile)))).toEqual(profile)
      }),
      { numRuns: draws(300) },
    )
  })

  it('has one text for one profile, whatever the order of its keys', () => {
    const backwards = (value: unknown): unknown =>
      typeof value === 'object' && value !== null && !Array.isArray(value)
        ? Object.fromEntries(
            Object.entries(value)
              .reverse()
              .map(([key, inner]) => [key, backwards(inner)]),
          )
        : value
    fc.assert(
      fc.property(arbProfile, (profile) => {
        const text = writeProfile(read(bytesOf(writeProfile(profile))))
        expect(writeProfile(read(bytesOf(JSON.stringify(backwards(profile)))))).toBe(text)
      }),
      { numRuns: draws(100) },
    )
  })

  it('ends with a line end and reads as lines', () => {
    expect(writeProfile(SIX)).toMatch(/^\{\n {2}"format": "ninepin-profile",\n {2}"version": 2,\n/)
    expect(writeProfile(SIX)).toMatch(/\}\n$/)
  })

  it('may list controls in any order and twice; the profile has them sorted and once', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...CONTROLS), { maxLength: 12 }), (list) => {
        const sorted = CONTROLS.filter((control) => list.includes(control))
        const profile = read(
          changed((json) => {
            put('mapping.a', list)(json)
            put('layers', [{ kind: 'held', by: [...list, 'centre'], mapping: { b: list } }])(json)
          }),
        )
        expect(profile.mapping.a).toEqual(sorted)
        expect(profile.layers[0]?.mapping).toEqual({ b: sorted })
        expect(profile.layers[0]?.by).toEqual(CONTROLS.filter((c) => c === 'centre' || list.includes(c)))
      }),
    )
  })

  it('is below the limit at its largest', () => {
    const largest: Profile = {
      ...SIX,
      name: 'é'.repeat(16),
      notes: '\u0001'.repeat(LIMITS.notesBytes),
      mapping: everyInput([...CONTROLS]),
      repeat: everyInput({ kind: 'reads', pressedReads: 255, releasedReads: 255 }),
      chords: Array.from({ length: LIMITS.chords }, () => ({
        held: [...CONTROLS],
        withinMs: 250,
        inputs: [...INPUTS],
      })),
      chart: { cycles: Array.from({ length: 6 }, () => cycle), after: { kind: 'start-again' } },
      layers: Array.from({ length: LIMITS.layers }, () => ({
        kind: 'toggled',
        by: [...CONTROLS],
        mapping: everyInput([...CONTROLS]),
      })),
      powerOn: Array.from({ length: LIMITS.powerOnRules }, () => ({
        held: [...CONTROLS],
        then: { kind: 'first-cycle-only' as const },
      })),
      bankChange: Array.from({ length: LIMITS.bankChanges }, () => ({
        held: [...CONTROLS],
        forMs: 10_000,
        bank: 'previous' as const,
      })),
    }
    const bytes = bytesOf(writeProfile(largest))
    expect(read(bytes)).toEqual(largest)
    expect(bytes.length).toBeLessThan(LIMITS.fileBytes)
  })
})

const cycle = SIX_BUTTON_CHART.cycles[2] as Cycle
const layer = { kind: 'held', by: ['centre'], mapping: {} }
const chord = { held: ['centre', 'face-east'], withinMs: 0, inputs: ['a'] }
const rule = { held: ['centre'], then: { kind: 'first-cycle-only' } }
const bankChange = { held: ['centre'], forMs: 0, bank: 1 }
const list = (length: number, item: unknown) => Array.from({ length }, () => item)

describe('what a profile may hold, up to the bound', () => {
  it.each<[string, (json: Json) => void]>([
    ['idle reset, least', put('idleResetNs', 10_000)],
    ['idle reset, most', put('idleResetNs', 100_000_000)],
    ['delay, least', put('delayNs', 0)],
    ['delay, most', put('delayNs', 56)],
    ['layers', put('layers', list(4, layer))],
    ['a layer that is toggled', put('layers', [{ ...layer, kind: 'toggled' }])],
    ['chords', put('chords', list(8, chord))],
    ['a chord of 250 ms', put('chords', [{ ...chord, withinMs: 250 }])],
    ['power-on rules', put('powerOn', list(4, rule))],
    ['bank changes', put('bankChange', list(8, bankChange))],
    ['a hold of ten seconds', put('bankChange', [{ ...bankChange, forMs: 10_000 }])],
    [
      'repeats',
      put('repeat', {
        a: { kind: 'reads', pressedReads: 255, releasedReads: 1 },
        z: { kind: 'time', pressedMs: 1, releasedMs: 255 },
      }),
    ],
    ['one cycle', put('chart.cycles', [cycle])],
    ['five cycles and stay', put('chart.cycles', list(5, cycle))],
    ['six cycles and start again', put('chart', { cycles: list(6, cycle), after: { kind: 'start-again' } })],
    ['a name of 32 bytes', put('name', `${'ü'.repeat(15)}ab`)],
    ['a name beyond the basic plane', put('name', '🪔🪔🪔🪔🪔🪔🪔🪔')],
    ['notes of 4000 bytes', put('notes', 'ü'.repeat(2000))],
    ['no notes', put('notes', '')],
    ['an input that nothing presses', put('mapping.up', [])],
  ])('%s', (_, change) => {
    expect(readProfile(changed(change)).ok).toBe(true)
  })
})

const CELLS_LISTED =
  '"up", "down", "left", "right", "a", "b", "c", "start", "x", "y", "z", "mode", "low", "high"'
const SOME_CONTROLS =
  '"face-south", "face-east", "face-west", "face-north", "shoulder-left", "shoulder-right"'

describe('what is no profile gets one sentence with its place', () => {
  it.each<[string, Uint8Array, string]>([
    ['empty', bytesOf(''), 'the file is empty'],
    ['too large', new Uint8Array(131_073), 'the file has 131073 bytes; a profile has 131072 at most'],
    ['not UTF-8', Uint8Array.from([0x7b, 0xc3, 0x28]), 'byte 1: the file is not UTF-8 text'],
    [
      'cut off',
      bytesOf(writeProfile(SIX).slice(0, 40)),
      'line 3: the file is cut off: the JSON does not end',
    ],
    ['other text', bytesOf('Up, Down'), 'line 1, column 1: this is not JSON: a value is needed here'],
    ['a list', bytesOf('[]'), 'a profile is a JSON object; this is a list'],
    [
      'another format',
      changed(put('format', 'ninepin-title')),
      'format: a profile says "ninepin-profile" here; this is "ninepin-title"',
    ],
    ['no format', bytesOf('{}'), 'format: a profile says "ninepin-profile" here; this is missing'],
    [
      'no version',
      changed(put('version', undefined)),
      'version: expected a whole number from 1 on, found nothing',
    ],
    ['version 0', changed(put('version', 0)), 'version: expected a whole number from 1 on, found 0'],
    [
      'a version to come',
      changed(put('version', 3)),
      'version: this profile was written by a newer Ninepin (version 3); this one reads up to version 2',
    ],
    ['an unknown key', changed(put('colour', 'red')), 'colour: unknown key'],
    [
      'a key that JavaScript has a use for',
      bytesOf(writeProfile(SIX).replace('"version": 2,', '"version": 2, "__proto__": {},')),
      '__proto__: unknown key',
    ],
    ['an unknown input', changed(put('mapping.turbo', [])), 'mapping.turbo: unknown key'],
    ['a seventh pin', changed(put('chart.cycles.0.low.7', 'up')), 'chart.cycles[0].low.7: unknown key'],
    ['a missing key', changed(put('mapping.up', undefined)), 'mapping.up: this is missing'],
    [
      'a missing pin',
      changed(put('chart.cycles.2.low.9', undefined)),
      'chart.cycles[2].low.9: this is missing',
    ],
    ['null', changed(put('mapping', null)), 'mapping: expected an object, found null'],
    ['text for a list', changed(put('layers', 'none')), 'layers: expected a list, found "none"'],
    ['another family', changed(put('family', 'mouse')), 'family: expected "select-line", found "mouse"'],
    ['no name', changed(put('name', '')), 'name: a name is needed'],
    ['a blank name', changed(put('name', ' \u3000')), 'name: a name is needed'],
    ['a number for a name', changed(put('name', 7)), 'name: expected a text, found 7'],
    [
      'a name with a blank',
      changed(put('name', 'Evening ')),
      'name: a name cannot start or end with a space',
    ],
    [
      'a name with a byte order mark',
      changed(put('name', '\ufeffEvening')),
      'name: a name cannot start or end with a space',
    ],
    [
      'a name on two lines',
      changed(put('name', 'Even\ning')),
      'name: a name stands on one line, without control characters',
    ],
    [
      'a name of 33 bytes in 17 characters',
      changed(put('name', `${'ü'.repeat(16)}a`)),
      'name: the name takes 33 bytes; the adapter keeps 32 at most',
    ],
    [
      'half a character in the name',
      bytesOf(writeProfile(SIX).replace('Six buttons', 'Six \\ud83e buttons')),
      'name: the name holds half a character; type it again',
    ],
    [
      'half a character in the notes',
      bytesOf(writeProfile(SIX).replace('Four cycles', '\\udd14')),
      'notes: the notes hold half a character; type it again',
    ],
    ['long notes', changed(put('notes', 'ü'.repeat(2001))), 'notes: the notes take 4002 bytes; 4000 at most'],
    [
      'an unknown control',
      changed(put('mapping.a', ['face-south', 'paddle'])),
      `mapping.a[1]: expected a known name (${SOME_CONTROLS}, …), found "paddle"`,
    ],
    [
      'one control instead of a list',
      changed(put('mapping.a', 'face-south')),
      'mapping.a: expected a list, found "face-south"',
    ],
    [
      'a cell that no pin can carry',
      changed(put('chart.cycles.2.low.1', 'turbo')),
      `chart.cycles[2].low.1: expected one of ${CELLS_LISTED}, found "turbo"`,
    ],
    [
      'a level as a number',
      changed(put('chart.cycles.0.high.6', 0)),
      `chart.cycles[0].high.6: expected one of ${CELLS_LISTED}, found 0`,
    ],
    ['no cycle', changed(put('chart.cycles', [])), 'chart.cycles: at least one cycle is needed'],
    [
      'six cycles and stay',
      changed(put('chart.cycles', list(6, cycle))),
      'chart: 6 cycles; with "stay" the adapter holds 5 at most',
    ],
    [
      'seven cycles and start again',
      changed(put('chart', { cycles: list(7, cycle), after: { kind: 'start-again' } })),
      'chart: 7 cycles; with "start-again" the adapter holds 6 at most',
    ],
    ['nothing after', changed(put('chart.after', {})), 'chart.after.kind: this is missing'],
    [
      'something else after',
      changed(put('chart.after', { kind: 'halt' })),
      'chart.after.kind: expected "start-again" or "stay", found "halt"',
    ],
    [
      'stay without a reply',
      changed(put('chart.after', { kind: 'stay' })),
      'chart.after.reply: this is missing',
    ],
    [
      'a reply with start again',
      changed(put('chart.after', { kind: 'start-again', reply: cycle })),
      'chart.after.reply: unknown key',
    ],
    ['five layers', changed(put('layers', list(5, layer))), 'layers: 4 layers at most; these are 5'],
    [
      'a layer that nothing turns on',
      changed(put('layers', [layer, { ...layer, by: [] }])),
      'layers[1].by: at least one control is needed',
    ],
    [
      'a layer of another kind',
      changed(put('layers', [{ ...layer, kind: 'timed' }])),
      'layers[0].kind: expected "held" or "toggled", found "timed"',
    ],
    ['nine chords', changed(put('chords', list(9, chord))), 'chords: 8 chords at most; these are 9'],
    [
      'a chord of one control',
      changed(put('chords', [{ ...chord, held: ['centre', 'centre'] }])),
      'chords[0].held: a chord needs at least two controls',
    ],
    [
      'a chord without inputs',
      changed(put('chords', [{ ...chord, inputs: [] }])),
      'chords[0].inputs: at least one input is needed',
    ],
    [
      'a chord too slow',
      changed(put('chords', [{ ...chord, withinMs: 251 }])),
      'chords[0].withinMs: expected a whole number from 0 to 250 ms, found 251',
    ],
    [
      'a hysteresis as large as the press threshold',
      changed(put('sticks.left.hysteresisPercent', 50)),
      'sticks.left: the hysteresis must be below the press threshold, or the stick would never release',
    ],
    [
      'a repeat by something else',
      changed(put('repeat', { a: { kind: 'frames', pressedReads: 1, releasedReads: 1 } })),
      'repeat.a.kind: expected "reads" or "time", found "frames"',
    ],
    [
      'five power-on rules',
      changed(put('powerOn', list(5, rule))),
      'powerOn: 4 power-on rules at most; these are 5',
    ],
    [
      'a power-on rule without a chord',
      changed(put('powerOn', [{ ...rule, held: [] }])),
      'powerOn[0].held: at least one control is needed',
    ],
    [
      'a power-on rule for a bank that is not',
      changed(put('powerOn', [{ ...rule, then: { kind: 'bank', bank: 5 } }])),
      'powerOn[0].then.bank: expected one of 1, 2, 3, 4, found 5',
    ],
    [
      'nine bank changes',
      changed(put('bankChange', list(9, bankChange))),
      'bankChange: 8 bank changes at most; these are 9',
    ],
    [
      'a bank change to nowhere',
      changed(put('bankChange', [{ ...bankChange, bank: 'first' }])),
      'bankChange[0].bank: expected one of 1, 2, 3, 4, "next", "previous", found "first"',
    ],
    [
      'a hold too long',
      changed(put('bankChange', [{ ...bankChange, forMs: 10_001 }])),
      'bankChange[0].forMs: expected a whole number from 0 to 10000 ms, found 10001',
    ],
    [
      'an unknown policy',
      changed(put('opposite.vertical', 'both')),
      'opposite.vertical: expected one of "as-held", "neutral", "first", "last", found "both"',
    ],
    [
      'a repeat without a pause',
      changed(put('repeat', { a: { kind: 'reads', pressedReads: 1, releasedReads: 0 } })),
      'repeat.a.releasedReads: expected a whole number from 1 to 255 reads, found 0',
    ],
    [
      'a repeat too slow',
      changed(put('repeat', { a: { kind: 'reads', pressedReads: 256, releasedReads: 1 } })),
      'repeat.a.pressedReads: expected a whole number from 1 to 255 reads, found 256',
    ],
    [
      'an idle reset too short',
      changed(put('idleResetNs', 9_999)),
      'idleResetNs: expected a whole number from 10000 to 100000000 ns, found 9999',
    ],
    [
      'an idle reset too long',
      changed(put('idleResetNs', 100_000_001)),
      'idleResetNs: expected a whole number from 10000 to 100000000 ns, found 100000001',
    ],
    [
      'a delay too long',
      changed(put('delayNs', 64)),
      'delayNs: the adapter delays by a multiple of 8 ns, 56 at most; this is 64',
    ],
    [
      'a delay back in time',
      changed(put('delayNs', -1)),
      'delayNs: the adapter delays by a multiple of 8 ns, 56 at most; this is -1',
    ],
    [
      'half a nanosecond',
      changed(put('delayNs', 0.5)),
      'delayNs: the adapter delays by a multiple of 8 ns, 56 at most; this is 0.5',
    ],
    [
      'a number beyond numbers',
      bytesOf(writeProfile(SIX).replace('"delayNs": 0', '"delayNs": 1e999')),
      'delayNs: the adapter delays by a multiple of 8 ns, 56 at most; this is Infinity',
    ],
    [
      'a list where an object belongs',
      changed(put('repeat', [])),
      'repeat: expected an object, found a list',
    ],
    ['a number as text', changed(put('delayNs', '200')), 'delayNs: expected a number, found "200"'],
  ])('%s', (_, bytes, said) => {
    expect(sentence(bytes)).toBe(said)
  })
})
