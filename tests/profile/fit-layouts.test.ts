import fc from 'fast-check'
import { expect, it } from 'vitest'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { layoutsOfImage } from '../../src/profile/decode-image.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { IMAGE_EXTRACTORS, IMAGE_PADS, fitLayouts } from '../../src/profile/fit-layouts.ts'
import { arbitraryLayout } from '../pad/arbitrary-layout.ts'
import { draws } from '../draws.ts'

it('keeps as many pads as an image holds, in their order, and says why the others stay out', () => {
  fc.assert(
    fc.property(fc.array(arbitraryLayout(), { maxLength: 8 }), (layouts) => {
      const { fit, leftOut } = fitLayouts(layouts)
      expect(fit.length + leftOut.length).toBe(layouts.length)
      expect(layouts.filter((layout) => fit.includes(layout))).toEqual(fit)
      const image = encodeImage(BUILT_IN_PROFILES['six-button'], fit)
      expect(layoutsOfImage(image)).toEqual(fit.map((layout) => ({ ...layout, notes: '' })))
      const extractors = fit.reduce((sum, layout) => sum + layout.extractors.length, 0)
      for (const { layout, sentence } of leftOut) {
        const full = fit.length === IMAGE_PADS || extractors + layout.extractors.length > IMAGE_EXTRACTORS
        expect(layout.pad.via === 'gamepad' || full).toBe(true)
        expect(sentence).toMatch(/ (is known to the browser only|finds no room): /)
        expect(sentence.startsWith(layout.name)).toBe(true)
      }
    }),
    { numRuns: draws(300) },
  )
})
