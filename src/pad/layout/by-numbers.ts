import type { Layout } from './schema.ts'

/** Vendor and product of a USB device. */
export interface PadNumbers {
  readonly vendorId: number
  readonly productId: number
}

export const sameNumbers = (a: PadNumbers, b: PadNumbers): boolean =>
  a.vendorId === b.vendorId && a.productId === b.productId

/**
 * The layout for a pad of which a browser tells no more than its numbers: it keeps the report descriptor to itself.
 *
 * @param layouts the newest last, which is the one that counts
 */
export const newestFor = (
  layouts: readonly Layout[],
  via: Layout['pad']['via'],
  numbers: PadNumbers,
): Layout | undefined => layouts.findLast(({ pad }) => pad.via === via && sameNumbers(pad, numbers))
