import type { Layout } from '../pad/layout/schema.ts'

type Pad = Pick<Layout['pad'], 'via' | 'vendorId' | 'productId' | 'descriptorCrc32'>

/** Whether a layout for `pad` is for that one (IMAGE.md, "Which pad"). */
export const isFor = (
  pad: Pad,
  { via, vendorId, productId, descriptorCrc32 }: Omit<Pad, 'via'> & { readonly via: string },
): boolean =>
  pad.via === via &&
  pad.vendorId === vendorId &&
  pad.productId === productId &&
  (pad.descriptorCrc32 === null || pad.descriptorCrc32 === descriptorCrc32)

/**
 * Of the layouts that stand before it in a bank, the one that every pad of this layout meets first: this one is then never used. `undefined` as it should be.
 */
export const shadowing = (layout: Layout, before: readonly Layout[]): Layout | undefined =>
  before.find(({ pad }) => isFor(pad, layout.pad))
