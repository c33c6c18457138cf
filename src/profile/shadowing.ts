import { VENDOR_LAYOUT } from '../pad/layout/built-in.ts'
import type { Layout } from '../pad/layout/schema.ts'

type Pad = Pick<Layout['pad'], 'via' | 'vendorId' | 'productId' | 'descriptorCrc32'>

/** A pad as an adapter identifies it. */
type PadSeen = Omit<Pad, 'via'> & { readonly via: string }

/** Whether a layout for `pad` is for that one (IMAGE.md, "Which pad"). */
const isFor = (pad: Pad, { via, vendorId, productId, descriptorCrc32 }: PadSeen): boolean =>
  pad.via === via &&
  pad.vendorId === vendorId &&
  pad.productId === productId &&
  (pad.descriptorCrc32 === null || pad.descriptorCrc32 === descriptorCrc32)

/**
 * The layout that an adapter reads a pad by: the first of those in its bank that is for it, else the one that the firmware knows, where it is a pad of
 * the vendor class; `null` for none.
 */
export const layoutFor = (pad: PadSeen, layouts: readonly Layout[]): Layout | null =>
  layouts.find((layout) => isFor(layout.pad, pad)) ?? (pad.via === 'vendor' ? VENDOR_LAYOUT : null)

/**
 * Of the layouts that stand before it in a bank, the one that every pad of this layout meets first: this one is then never used. `undefined` as it should be.
 */
export const shadowing = (layout: Layout, before: readonly Layout[]): Layout | undefined =>
  before.find(({ pad }) => isFor(pad, layout.pad))
