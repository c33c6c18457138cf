import type { Layout } from '../pad/layout/schema.ts'

/**
 * Of the layouts that stand before it in a bank, the one that every pad of this layout meets first: this one is then never used
 * (IMAGE.md, "Which pad"). `undefined` as it should be.
 */
export const shadowing = (layout: Layout, before: readonly Layout[]): Layout | undefined =>
  before.find(({ pad }) => {
    const { via, vendorId, productId, descriptorCrc32 } = layout.pad
    return (
      pad.via === via &&
      pad.vendorId === vendorId &&
      pad.productId === productId &&
      (pad.descriptorCrc32 === null || pad.descriptorCrc32 === descriptorCrc32)
    )
  })
