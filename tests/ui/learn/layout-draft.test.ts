import { describe, expect, it } from 'vitest'
import { CONTROLS, controlsIn } from '../../../src/pad/controls.ts'
import type { Extractor } from '../../../src/pad/layout/schema.ts'
import { GAMEPAD_PLACES } from '../../../src/pad/learn/places.ts'
import { checkLayout } from '../../../src/shelf/files.ts'
import {
  kindOptions,
  atPlace,
  fieldNumbers,
  forSubject,
  numbersOf,
  subjectOf,
  subjectOptions,
} from '../../../src/ui/learn/extractor-form.ts'
import { foundWord, placeWord, valuesWord } from '../../../src/ui/learn/extractor-words.ts'
import { controlsOf } from '../../../src/pad/layout/slots.ts'
import { LayoutDraft, shortName } from '../../../src/ui/learn/layout-draft.svelte.ts'
import { readNumber } from '../../../src/ui/learn/read-number.ts'
import { findsWords } from '../../../src/ui/pad/layout-words.ts'

const PAD = { via: 'hid', vendorId: 0x1209, productId: 1, descriptorCrc32: null } as const

const button = (control: (typeof CONTROLS)[number], bit: number): Extractor => ({
  kind: 'threshold',
  control,
  field: { report: 0, bit, bits: 1, signed: false },
  press: 1,
  release: 0,
})
const hat: Extractor = {
  kind: 'hat',
  cross: 'dpad',
  field: { report: 0, bit: 0, bits: 4, signed: false },
  first: 0,
  step: 1,
  positions: 8,
}

describe('a layout before it is on the shelf', () => {
  it('says what it lacks, and is a layout when it lacks nothing', () => {
    const draft = new LayoutDraft(PAD, 'Loan pad')
    expect(draft.fault).toMatch(/Nothing was found yet/)
    expect(draft.put(button('face-south', 8), null)).toBeNull()
    draft.name = '  '
    expect(draft.fault).toBe('Give the pad a name.')
    draft.name = 'A name that is far too long for the adapter to keep'
    expect(draft.fault).toMatch(/32/)
    draft.name = ' Loan pad '
    expect(draft.fault).toBe('')
    expect(draft.layout && checkLayout(draft.layout).ok).toBe(true)
    expect(draft.layout?.name).toBe('Loan pad')
  })

  it('takes each control once, a hat for four', () => {
    const draft = new LayoutDraft(PAD, 'Loan pad', [hat])
    expect(draft.put(button('dpad-left', 9), null)).toMatch(/^Another row/)
    expect(draft.put({ ...hat, first: 1 }, 0)).toBeNull()
    draft.merge([button('dpad-left', 9), button('face-east', 10)])
    expect(draft.extractors.map(foundWord)).toEqual(['D-pad left', 'Face east'])
  })

  it('refuses what no report has, and stays as it was', () => {
    const draft = new LayoutDraft(PAD, 'Loan pad', [button('face-south', 8)])
    expect(draft.put(button('face-south', 600), 0)).toMatch(/\.$/)
    const numbered = { ...button('face-east', 9), field: { report: 2, bit: 9, bits: 1, signed: false } }
    expect(draft.put(numbered, null)).toMatch(/numbers/)
    expect(draft.extractors).toEqual([button('face-south', 8)])
  })

  it('tells which controls are found', () => {
    const axis = atPlace('axis', { ...hat, count: 1, least: 0, most: 255 })
    expect(controlsIn(controlsOf([hat, button('face-south', 8), axis]))).toEqual([
      'face-south',
      'dpad-up',
      'dpad-down',
      'dpad-left',
      'dpad-right',
      'stick-left-left',
      'stick-left-right',
    ])
  })

  it('cuts a name that the adapter could not keep between its characters', () => {
    expect(new TextEncoder().encode(shortName('ü'.repeat(40))).length).toBe(32)
    expect(shortName(`${'x'.repeat(31)}ü`)).toBe('x'.repeat(31))
    expect(shortName(' Loan pad ')).toBe('Loan pad')
  })
})

describe('setting by hand', () => {
  it('gives an extractor that a layout takes, for every kind, place and subject', () => {
    for (const { value: kind } of kindOptions())
      for (const place of [...GAMEPAD_PLACES.slice(30, 34), { ...hat, count: 1, least: 0, most: 7 }])
        for (const { value: subject } of subjectOptions(kind)) {
          const one = forSubject(atPlace(kind, place), subject)
          expect([one.kind, subjectOf(one)]).toEqual([kind, subject])
          expect(new LayoutDraft(PAD, 'x').put(one, null)).toBeNull()
          for (const { value, set } of [...numbersOf(one), ...fieldNumbers(one)])
            expect(set(value)).toEqual(one)
        }
  })

  it('has each number where it says', () => {
    const one = atPlace('axis', { ...hat, count: 1, least: 0, most: 255 })
    const set = numbersOf(one).reduce((now, { set }, k) => ({ ...now, ...changed(one, set(k + 1)) }), {})
    expect(set).toEqual({ low: 1, centre: 2, high: 3 })
  })

  it('says what the positions of a hat are, and suggests them as a browser shows them', () => {
    expect(valuesWord(hat)).toBe('8 positions clockwise, 0 is up')
    expect(valuesWord({ ...hat, first: -15, step: 30 })).toBe(
      '8 positions clockwise, 30 values each, up from -15 on',
    )
    // −32767 … 32767, in steps of 2/7 of half of that (from memory).
    const axis = GAMEPAD_PLACES.find(({ kind }) => kind === 'axis')
    expect(axis && atPlace('hat', axis)).toMatchObject({ first: -32767, step: 9362, positions: 8 })
    expect(atPlace('hat', { ...hat, count: 1, least: 0, most: 239 })).toMatchObject({ first: 0, step: 30 })
    expect(atPlace('hat', { ...hat, count: 1, least: 0, most: 2 ** 31 - 1 })).toMatchObject({
      step: 1_000_000,
    })
    const set = numbersOf(hat).reduce((now, { set }, k) => ({ ...now, ...changed(hat, set(k + 2)) }), {})
    expect(set).toEqual({ first: 2, step: 3, positions: 4 })
  })

  const changed = (before: object, after: object): object =>
    Object.fromEntries(Object.entries(after).filter(([key, value]) => Reflect.get(before, key) !== value))
})

describe('words', () => {
  it('say where and what', () => {
    expect(placeWord({ bit: 21 })).toBe('byte 2, bit 5')
    expect(valuesWord(button('face-south', 8))).toBe('held at 1')
    const analogue = { ...button('trigger-left', 8), field: { report: 0, bit: 8, bits: 8, signed: false } }
    expect(valuesWord({ ...analogue, press: 128, release: 102 } as Extractor)).toBe(
      'held from 128 up, released at 102',
    )
    expect(valuesWord({ ...analogue, press: 50, release: 80 } as Extractor)).toBe(
      'held from 50 down, released at 80',
    )
    expect(findsWords([hat, button('face-south', 8)])).toBe('5 controls')
    expect(
      findsWords([
        button('face-south', 8),
        button('face-south', 9),
        atPlace('axis', { ...hat, count: 1, least: 0, most: 9 }),
      ]),
    ).toBe('1 control, 1 stick')
  })

  it('read vendor and product numbers as people write them', () => {
    expect(['1209', '0x1209', ' 0X0001 ', 'f'].map(readNumber)).toEqual([0x1209, 0x1209, 1, 15])
    expect(['', '12095', 'xyz', '0x', '-1'].map(readNumber)).toEqual([null, null, null, null, null])
  })
})
