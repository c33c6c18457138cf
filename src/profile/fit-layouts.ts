import type { Layout } from '../pad/layout/schema.ts'

/** How much of pads an image holds (IMAGE.md). */
export const IMAGE_PADS = 4
export const IMAGE_EXTRACTORS = 64

export interface Fitted {
  /** These go into an image together, in this order. */
  readonly fit: readonly Layout[]
  /** These do not, and why, in words that follow the layout's name. */
  readonly leftOut: readonly { readonly layout: Layout; readonly why: string }[]
}

/** Which of these layouts go into one image: as many as there is room for, the first ones first. */
export function fitLayouts(layouts: readonly Layout[]): Fitted {
  const fit: Layout[] = []
  const leftOut: { layout: Layout; why: string }[] = []
  let extractors = 0
  for (const layout of layouts) {
    const sum = extractors + layout.extractors.length
    if (layout.pad.via === 'gamepad') {
      leftOut.push({
        layout,
        why: 'is known to the browser only: learn the pad itself, or plug it into the adapter once',
      })
    } else if (fit.length === IMAGE_PADS) {
      leftOut.push({ layout, why: `finds no room: a bank holds ${IMAGE_PADS} pads` })
    } else if (sum > IMAGE_EXTRACTORS) {
      leftOut.push({
        layout,
        why: `finds no room: the pads of a bank have ${IMAGE_EXTRACTORS} controls in all`,
      })
    } else {
      fit.push(layout)
      extractors = sum
    }
  }
  return { fit, leftOut }
}
