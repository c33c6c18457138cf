import { describe, expect, it } from 'vitest'
import { CONTROLS, controlsIn } from '../../../src/pad/controls.ts'
import { parseReportDescriptor } from '../../../src/pad/descriptor/parse.ts'
import { ASKS } from '../../../src/pad/learn/controls-to-ask.ts'
import { asHat } from '../../../src/pad/learn/places.ts'
import type { Remark } from '../../../src/pad/learn/remarks.ts'
import { askMask, askName, askWords } from '../../../src/ui/learn/ask-words.ts'
import { asksFor } from '../../../src/ui/learn/learn-work.svelte.ts'
import { gamepadPlaces, namedPlaces, placeLabels } from '../../../src/ui/learn/named-places.ts'
import { remarkWords } from '../../../src/ui/learn/remark-words.ts'

describe('what is asked', () => {
  it('has a sentence of its own for everything but the extras, and marks it on the drawn pad', () => {
    const words = ASKS.filter((ask) => ask.kind !== 'press' || !ask.control.startsWith('extra-')).map(
      askWords,
    )
    expect(new Set(words).size).toBe(words.length)
    expect(new Set(ASKS.map(askName)).size).toBe(ASKS.length)
    for (const one of words) expect(one).toMatch(/^(Press|Pull|Push|Roll) .*\.$/)
    expect(ASKS.flatMap((ask) => controlsIn(askMask(ask))).length).toBeGreaterThanOrEqual(CONTROLS.length - 8)
  })

  it('asks for an extractor anew what found it', () => {
    const field = { report: 0, bit: 0, bits: 8, signed: false }
    const names = (asks: readonly (typeof ASKS)[number][]) => asks.map(askName)
    expect(names(asksFor({ kind: 'threshold', control: 'face-east', field, press: 1, release: 0 }))).toEqual([
      'Face east',
    ])
    expect(names(asksFor({ kind: 'hat', cross: 'dpad', field, first: 0, step: 1, positions: 8 }))).toEqual([
      'D-pad up',
      'D-pad down',
      'D-pad left',
      'D-pad right',
    ])
    const axis = { kind: 'axis', stick: 'right', axis: 'x', field, low: 0, centre: 1, high: 2 } as const
    expect(names(asksFor(axis))).toEqual(['Right stick up', 'Right stick right', 'Right stick, its edge'])
  })
})

describe('places by name', () => {
  it('keep their name when learning finds that an axis is a hat', () => {
    const places = gamepadPlaces(2, 10)
    const last = places.at(-1)
    expect(last && placeLabels(places)(asHat(last.place))).toBe('axes[9]')
  })

  it('are called as the descriptor calls them, each with its own bits', () => {
    // HID 1.11 section 6.2.2: a hat of four bits, four bits of padding, three buttons with their padding, a byte of a vendor's own page.
    const descriptor = parseReportDescriptor(
      Uint8Array.from(
        (
          '05 01 09 05 a1 01 85 02 09 39 15 00 25 07 75 04 95 01 81 42 81 03 05 09 19 01 29 03 25 01 75 01 95 03 ' +
          '81 02 95 05 81 03 06 00 ff 09 20 26 ff 00 75 08 95 01 81 02 c0'
        )
          .split(' ')
          .map((byte) => parseInt(byte, 16)),
      ),
    )
    if (!descriptor.ok) throw new Error(descriptor.error.message)
    const places = namedPlaces(descriptor.value)
    const described = places.filter(({ place }) => !place.kind.startsWith('raw-'))
    expect(
      described.map(({ label, place }) => [label, place.kind, place.field.report, place.field.bit]),
    ).toEqual([
      ['Hat Switch', 'hat', 2, 0],
      ['Button 1', 'button', 2, 8],
      ['Button 2', 'button', 2, 9],
      ['Button 3', 'button', 2, 10],
    ])
    expect(places.filter(({ place }) => place.kind === 'raw-bit').map(({ label }) => label)).toEqual(
      [0, 1, 2, 3, 4, 5, 6, 7].map((bit) => `bit ${bit} of byte 2`),
    )
    expect(places.map(({ label }) => label)).toEqual(
      expect.arrayContaining(['low half of byte 2', 'high half of byte 2', 'byte 2', 'signed byte 2']),
    )
  })

  it('are called as the Gamepad API calls them, as many as the pad has', () => {
    // W3C Gamepad: the attributes `buttons` and `axes`, both counted from 0.
    expect(gamepadPlaces(2, 1).map(({ label, place }) => [label, place.kind])).toEqual([
      ['buttons[0]', 'button'],
      ['buttons[1]', 'button'],
      ['axes[0]', 'axis'],
    ])
    expect(gamepadPlaces(99, 99).length).toBe(48)
  })
})

it('says every remark of the learn core in a sentence', () => {
  const [one, other] = gamepadPlaces(2, 0)
  if (!one || !other) throw new Error('there are two')
  const [ask, another] = ASKS
  if (!ask || !another) throw new Error('there are two')
  const remarks: readonly Remark[] = [
    ...(['counts', 'restless', 'stuck'] as const).map(
      (why) => ({ kind: 'aside', place: one.place, why }) as const,
    ),
    { kind: 'two-places', control: 'trigger-left', taken: one.place, other: other.place },
    { kind: 'shared', ask, with: another },
    { kind: 'weak', control: 'trigger-left', percent: 60 },
    { kind: 'weak-end', stick: 'left', axis: 'x', end: 'low', percent: 60 },
    { kind: 'drifts', stick: 'left', axis: 'y', percent: 9 },
    { kind: 'not-rolled', stick: 'right' },
    { kind: 'odd-hat', cross: 'dpad' },
    { kind: 'half-stick', stick: 'right' },
  ]
  const label = new Map([one, other].map((named) => [named.place, named.label]))
  const said = remarks.map((remark) => remarkWords(remark, (place) => label.get(place) ?? ''))
  for (const words of said) expect(words).toMatch(/^[A-Z].*\.$/)
  expect(new Set(said).size).toBe(said.length)
  expect(said[3]).toBe('Left trigger shows in two fields; buttons[0] was taken, not buttons[1].')
})
