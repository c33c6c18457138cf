import { readFileSync, readdirSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../src/document/document.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { writeProfile } from '../../src/profile/file.ts'
import { PROFILE_KIND, PROFILE_VERSION, ProfileSchema } from '../../src/profile/schema.ts'
import { arbProfile } from '../arbitraries.ts'
import { publishedSchema, schemaText, validator } from '../published-schema.ts'
import { draws } from '../draws.ts'

const FILE = new URL('../../static/schema/profile.schema.json', import.meta.url)
const DEMOS = new URL('../../static/demo/profiles/', import.meta.url)
type Json = Record<string, unknown>
const six = () => JSON.parse(writeProfile(BUILT_IN_PROFILES['six-button'])) as Json

const schema = publishedSchema(ProfileSchema, {
  $id: `urn:ninepin:profile:${PROFILE_VERSION}`,
  title: 'Ninepin profile',
  description:
    'Which control is which input, and what stands on each pin in each phase of select. Times are whole nanoseconds ' +
    'but where the name says Ms. The reader also checks that the fields go together.',
})

describe('the JSON Schema of a profile', () => {
  it('is that of the reader', async () => {
    await expect(schemaText(schema)).toMatchFileSnapshot(FILE.pathname)
  })

  const valid = validator(schema)

  it.each(Object.entries(BUILT_IN_PROFILES))('takes the built-in profile %s', (_, profile) => {
    expect(valid(JSON.parse(writeProfile(profile)))).toBe(true)
  })

  it.each(readdirSync(DEMOS))('takes the profiles of the museum: %s', (name) => {
    expect(valid(JSON.parse(readFileSync(new URL(name, DEMOS), 'utf8')))).toBe(true)
  })

  it('takes every profile that we write', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        expect(valid(JSON.parse(writeProfile(profile)))).toBe(true)
      }),
      { numRuns: draws(500) },
    )
  })

  it('takes controls in any order and more than once, as the reader does', () => {
    const loose = {
      ...six(),
      mapping: { ...(six()['mapping'] as Json), up: ['stick-left-up', 'dpad-up', 'dpad-up'] },
    }
    expect(valid(loose)).toBe(true)
    expect(readJson(PROFILE_KIND, loose).ok).toBe(true)
  })

  const phase = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }
  const cycle = { high: phase, low: phase }
  it.each<[string, Json]>([
    ['of another format', { format: 'ninepin-title' }],
    ['of a future version', { version: 3 }],
    ['with a number for a name', { name: 7 }],
    ['of another family', { family: 'strobed' }],
    ['with an unknown control', { mapping: { ...(six()['mapping'] as Json), up: ['face-middle'] } }],
    ['with an input that is not mapped', { mapping: { up: [] } }],
    [
      'with a fifth layer',
      { layers: Array.from({ length: 5 }, () => ({ kind: 'held', by: ['centre'], mapping: {} })) },
    ],
    ['with an unknown policy', { opposite: { vertical: 'both', horizontal: 'first' } }],
    ['with half a repeat', { repeat: { a: { kind: 'reads', pressedReads: 2 } } }],
    ['with an unknown power-on rule', { powerOn: [{ held: ['centre'], then: { kind: 'sleep' } }] }],
    ['with a fifth bank', { bankChange: [{ held: ['centre'], forMs: 500, bank: 5 }] }],
    ['with a text for a time', { idleResetNs: '1.5 ms' }],
    ['without cycles', { chart: { cycles: [], after: { kind: 'start-again' } } }],
    [
      'with a cell that is nothing',
      { chart: { cycles: [{ high: { ...phase, 1: 'jump' }, low: phase }], after: { kind: 'start-again' } } },
    ],
    [
      'with a pin too few',
      { chart: { cycles: [{ high: { 1: 'up' }, low: phase }], after: { kind: 'start-again' } } },
    ],
    ['that stays with no reply', { chart: { cycles: [cycle], after: { kind: 'stay' } } }],
    ['with a key of its own', { colour: 'blue' }],
  ])('refuses a profile %s, as the reader does', (_, change) => {
    const wrong = { ...six(), ...change }
    expect(valid(wrong)).toBe(false)
    expect(readJson(PROFILE_KIND, wrong).ok).toBe(false)
  })

  it('refuses a profile from which any key is gone', () => {
    for (const key of Object.keys(six())) {
      const { [key]: _, ...rest } = six()
      expect(valid(rest), key).toBe(false)
    }
  })
})
