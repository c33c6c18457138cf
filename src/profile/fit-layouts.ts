import type { Layout } from '../pad/layout/schema.ts'
import { leftOutTexts as t } from './profile-file-texts.ts'

/** How much of pads an image holds (IMAGE.md). */
export const IMAGE_PADS = 4
export const IMAGE_EXTRACTORS = 64

export interface Fitted {
  /** These go into an image together, in this order. */
  readonly fit: readonly Layout[]
  /** These do not, and why, in a sentence without its stop. */
  readonly leftOut: readonly { readonly layout: Layout; readonly sentence: string }[]
}

/** Which of these layouts go into one image: as many as there is room for, the first ones first. */
export function fitLayouts(layouts: readonly Layout[]): Fitted {
  const fit: Layout[] = []
  const leftOut: { layout: Layout; sentence: string }[] = []
  let extractors = 0
  for (const layout of layouts) {
    const pad = layout.name
    const sum = extractors + layout.extractors.length
    if (layout.pad.via === 'gamepad') {
      leftOut.push({ layout, sentence: t.browserOnly({ pad }) })
    } else if (fit.length === IMAGE_PADS) {
      leftOut.push({ layout, sentence: t.pads({ pad, most: IMAGE_PADS }) })
    } else if (sum > IMAGE_EXTRACTORS) {
      leftOut.push({ layout, sentence: t.controls({ pad, most: IMAGE_EXTRACTORS }) })
    } else {
      fit.push(layout)
      extractors = sum
    }
  }
  return { fit, leftOut }
}
