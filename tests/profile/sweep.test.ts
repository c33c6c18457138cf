import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { decodeImage, imageSentence, layoutsOfImage, sweepOfImage } from '../../src/profile/decode-image.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { AT } from '../../src/profile/image-layout.ts'
import { checkSweep, mostLatePhases } from '../../src/profile/sweep.ts'
import type { Sweep } from '../../src/profile/sweep.ts'
import { arbProfile } from '../arbitraries.ts'
import { arbitraryLayout } from '../pad/arbitrary-layout.ts'
import { draws } from '../draws.ts'
import { arbSweep } from './arbitrary-sweep.ts'
import { doctored } from './image-bytes.ts'

const THREE = { ...BUILT_IN_PROFILES['three-button'], notes: '' }
const SWEEP: Sweep = {
  input: 'a',
  phases: [{ row: 0, level: 'low' }],
  firstNs: 16,
  stepNs: 104,
  steps: 20,
  onMs: 500,
  offMs: 500,
}

describe('a sweep in an image', () => {
  it('comes back as it was, with its profile and the pads behind it, as version 3', () => {
    fc.assert(
      fc.property(
        arbProfile.chain((profile) =>
          fc.tuple(fc.constant({ ...profile, delayNs: 0, notes: '' }), arbSweep(profile.chart)),
        ),
        fc.option(arbitraryLayout()),
        ([profile, sweep], pad) => {
          const layouts = pad ? [{ ...pad, notes: '' }] : []
          let image
          try {
            image = encodeImage(profile, layouts, sweep)
          } catch (cause) {
            expect(cause).toBeInstanceOf(RangeError)
            return
          }
          expect(image[AT.version]).toBe(sweep ? 3 : 2)
          expect(sweepOfImage(image)).toEqual(sweep)
          expect(decodeImage(image)).toEqual({ ok: true, value: profile })
          expect(layoutsOfImage(image)).toEqual(layouts)
        },
      ),
      { numRuns: draws(500) },
    )
  })

  it('takes the room of the reply table that a chart leaves: five words a row, two a late phase, thirty in all', () => {
    expect([1, 2, 3, 4, 5, 6].map(mostLatePhases)).toEqual([2, 4, 6, 5, 2, 0])
  })

  it.each<[string, Partial<Sweep>, RegExp]>([
    ['no late phase', { phases: [] }, /phases of this chart/],
    ['a phase that the chart has not', { phases: [{ row: 3, level: 'low' }] }, /phases of this chart/],
    ['a phase twice', { phases: [...SWEEP.phases, ...SWEEP.phases] }, /phases of this chart/],
    ['less than counting takes', { firstNs: 8 }, /16 to 30.?000 ns/],
    ['a time between two cycles', { firstNs: 20 }, /steps of 8 ns/],
    ['more than 30 us in the last step', { stepNs: 1600 }, /16 to 30.?000 ns/],
    ['no step', { steps: 0 }, /255 steps/],
    ['steps of nothing', { stepNs: 0 }, /steps of 8 ns/],
    ['a pulse between two tens of milliseconds', { onMs: 25 }, /in tens/],
    ['no release', { offMs: 0 }, /in tens/],
  ])('is refused with %s', (_, change, sentence) => {
    const wrong = { ...SWEEP, ...change }
    expect(checkSweep(wrong, THREE.chart, 0)).toEqual({
      ok: false,
      error: expect.stringMatching(sentence) as unknown,
    })
    expect(() => encodeImage(THREE, [], wrong)).toThrow(sentence)
  })

  it('does not go with a deliberate delay', () => {
    expect(() => encodeImage({ ...THREE, delayNs: 8 }, [], SWEEP)).toThrow(/deliberate delay/)
  })

  it('is said where a version 3 lacks it, or another version has one', () => {
    const said = (image: Uint8Array) => {
      const decoded = decodeImage(image)
      return decoded.ok ? '' : imageSentence(decoded.error)
    }
    expect(said(doctored(encodeImage(THREE, [], SWEEP), { [AT.sweeps]: 0 }))).toMatch(/late replies/)
    expect(said(doctored(encodeImage(THREE), { [AT.sweeps]: 1 }))).toMatch(
      /the number of sweeps is 1; 0 at most/,
    )
  })
})
