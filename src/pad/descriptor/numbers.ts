import { oddTexts } from './descriptor-texts.ts'
import type { Item } from './items.ts'
import { fieldRange } from './reports.ts'

/** A number as an item gives it: read with sign, or without. */
type Given = Pick<Item, 'signed' | 'unsigned'>

const NOT_GIVEN: Given = { signed: 0, unsigned: 0 }

/** A range of values, and what is odd about how it is told, said of a logical range. */
export interface ToldRange {
  readonly min: number
  readonly max: number
  readonly odd: string | null
}

/**
 * A range as two items give it. Both have a sign (HID 1.11 section 6.2.2.7); but many devices write 255 as the one byte FF, which is −1: a
 * maximum below a minimum that is not negative is taken without sign (common practice, no source). A range that is upside
 * down all the same is taken for all values of the field.
 */
export function rangeFrom(minimum: Given | null, maximum: Given | null, bits: number): ToldRange {
  const min = (minimum ?? NOT_GIVEN).signed
  const { signed, unsigned } = maximum ?? NOT_GIVEN
  if (signed >= min) return { min, max: signed, odd: null }
  if (min >= 0 && signed < 0 && unsigned >= min) {
    return { min, max: unsigned, odd: oddTexts.logicalUnsigned({ signed, unsigned }) }
  }
  const [least, most] = fieldRange({ bits: boundBits(bits), signed: min < 0 })
  return { min: least, max: most, odd: oddTexts.logicalUpsideDown({ from: min, to: signed, least, most }) }
}

const boundBits = (bits: number): number => Math.min(32, Math.max(1, bits))

/** Four bits in two's complement (HID 1.11 section 6.2.2.7); whole bytes as some devices write them are taken as they are. */
export const signedExponent = ({ unsigned, signed }: Given): number =>
  unsigned <= 15 ? (unsigned << 28) >> 28 : Math.max(-8, Math.min(7, signed))
