import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../src/document/document.ts'
import { USUAL_STICK } from '../../src/pad/stick/settings.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { decodeImage, layoutsOfImage } from '../../src/profile/decode-image.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { ControlsRunner } from '../../src/profile/run-controls.ts'
import { ImageControlsRunner } from '../reference/profile/run-image-controls.ts'
import { imagePadReader } from '../reference/profile/run-pad.ts'
import { PROFILE_KIND } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { arbHandSteps, arbProfile } from '../arbitraries.ts'
import { doctored } from './image-bytes.ts'
import { OLD_IMAGES, oldImage } from './old-images.ts'

/** What version 1 wrote still reads, and means what it meant. */

const SIX = BUILT_IN_PROFILES['six-button']

/** What the image `fuller` was written from, in words of today. */
const FULLER: Profile = {
  ...SIX,
  name: 'Lamp room',
  notes: '',
  opposite: { vertical: 'neutral', horizontal: 'last' },
  delayNs: 16,
  layers: [
    {
      kind: 'held',
      by: ['trigger-left', 'stick-right-press'],
      mapping: { a: [], x: ['face-west'], mode: ['face-south', 'extra-7'] },
    },
    { kind: 'held', by: ['trigger-right'], mapping: {} },
  ],
  repeat: {
    a: { kind: 'reads', pressedReads: 2, releasedReads: 3 },
    start: { kind: 'reads', pressedReads: 255, releasedReads: 1 },
  },
  powerOn: [
    { held: ['centre-left'], then: { kind: 'first-cycle-only' } },
    { held: ['face-east', 'dpad-up'], then: { kind: 'bank', bank: 3 } },
  ],
  bankChange: [
    { held: ['centre-left', 'dpad-right'], forMs: 2000, bank: 'next' },
    { held: ['centre'], forMs: 0, bank: 1 },
  ],
}
const PROFILES: Readonly<Record<keyof typeof OLD_IMAGES, Profile>> = { ...BUILT_IN_PROFILES, fuller: FULLER }
const NAMES = Object.keys(OLD_IMAGES) as (keyof typeof OLD_IMAGES)[]

describe.each(NAMES)('the old image %s', (name) => {
  const image = oldImage(name)
  const profile = PROFILES[name]

  it('decodes: usual sticks, no chords, no pads, layers on while held, repeats in reads', () => {
    expect(image[4]).toBe(1)
    expect(decodeImage(image)).toEqual({ ok: true, value: { ...profile, notes: '' } })
    expect([profile.sticks, profile.chords]).toEqual([{ left: USUAL_STICK, right: USUAL_STICK }, []])
    expect(layoutsOfImage(image)).toEqual([])
    expect(imagePadReader(image, { via: 'hid', vendorId: 0, productId: 0, descriptorCrc32: 0 })).toBeNull()
  })

  it('runs as the new image of the same profile does', () => {
    fc.assert(
      fc.property(arbHandSteps(profile), fc.array(fc.nat(3_000), { maxLength: 12 }), (steps, gapsMs) => {
        const all = [
          new ImageControlsRunner(image),
          new ImageControlsRunner(encodeImage(profile)),
          new ControlsRunner(profile),
        ]
        let nowMs = 0
        steps.forEach(({ held }, k) => {
          nowMs += gapsMs[k] ?? 400
          const seen = all.map((hands) => {
            hands.report(held, nowMs)
            hands.readEnded()
            return [hands.inputs, hands.pinsAt(2, 'low'), hands.pinsAt(3, 'high'), hands.takeWish(true)]
          })
          expect(seen[1]).toEqual(seen[0])
          expect(seen[2]).toEqual(seen[0])
        })
      }),
    )
  })

  it('is refused with anything where version 1 has zero', () => {
    for (const at of [53, 54, 55])
      expect(decodeImage(doctored(image, { [at]: 1 })).ok, `byte ${at}`).toBe(false)
  })
})

it('a toggled layer in an old image is refused', () => {
  // Four cycles and stay: the layers of `fuller` begin at 160.
  expect(decodeImage(doctored(oldImage('fuller'), { 166: 1 }))).toEqual({
    ok: false,
    error: { byte: 166, message: 'this byte must be zero' },
  })
})

describe('a profile file of version 1', () => {
  /** The profile as version 1 wrote it; only what it knew. */
  function asVersion1({ layers, repeat, sticks: _sticks, chords: _chords, ...rest }: Profile) {
    return {
      ...rest,
      version: 1,
      layers: layers.map(({ by, mapping }) => ({ while: by, mapping })),
      repeat: Object.fromEntries(
        Object.entries(repeat).flatMap(([input, one]) =>
          one.kind === 'reads'
            ? [[input, { pressedReads: one.pressedReads, releasedReads: one.releasedReads }]]
            : [],
        ),
      ),
    }
  }
  const brought = (profile: Profile): Profile => ({
    ...profile,
    sticks: { left: USUAL_STICK, right: USUAL_STICK },
    chords: [],
    layers: profile.layers.map((layer) => ({ ...layer, kind: 'held' })),
    repeat: Object.fromEntries(Object.entries(profile.repeat).filter(([, { kind }]) => kind === 'reads')),
  })

  it('becomes one of version 2 with the same meaning', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        expect(readJson(PROFILE_KIND, asVersion1(profile))).toEqual({ ok: true, value: brought(profile) })
      }),
    )
  })

  const old = asVersion1(FULLER)
  it.each<[string, object, string]>([
    ['a key of version 2', { ...old, chords: [] }, ': this is not a valid version 1 profile'],
    [
      'a layer of version 2',
      { ...old, layers: [{ kind: 'held', while: ['centre'], mapping: {} }] },
      ': this is',
    ],
    [
      'a layer of version 2 in one other way',
      { ...old, layers: [{ by: ['centre'], mapping: {} }] },
      ': this is not a valid version 1 profile',
    ],
    [
      'a repeat of version 2',
      { ...old, repeat: { a: { kind: 'reads', pressedReads: 1, releasedReads: 1 } } },
      ': this is not a valid version 1 profile',
    ],
    ['a repeat that is none', { ...old, repeat: { a: 7 } }, 'repeat.a: expected an object'],
    ['a word for a layer', { ...old, layers: ['x'] }, 'layers[0]: expected an object'],
    ['no list of layers', { ...old, layers: 7 }, 'layers: expected a list'],
    ['a layer that is none', { ...old, layers: [null] }, 'layers[0]: expected an object'],
    ['a layer that nothing turns on', { ...old, layers: [{ mapping: {} }] }, 'layers[0].by: this is missing'],
    [
      'half a repeat',
      { ...old, repeat: { a: { pressedReads: 1 } } },
      'repeat.a.releasedReads: this is missing',
    ],
    ['no repeat', { ...old, repeat: null }, 'repeat: expected an object'],
  ])('with %s is refused', (_, json, said) => {
    const read = readJson(PROFILE_KIND, json)
    expect(read.ok ? '' : `${read.error.place}: ${read.error.message}`).toContain(said)
  })
})
