import { foreign } from '../../words/foreign.ts'
import type { PadNumbers } from '../../pad/layout/by-numbers.ts'
import { drawnPadTexts } from './drawn-pad-texts.ts'

/**
 * A pad's name without what browsers put around it: vendor and product numbers in brackets behind the name, or in front
 * of it.
 */
export const shortPadName = (name: string): string =>
  foreign(name)
    .replace(/\s*\([^()]*Vendor[^()]*\)\s*$/i, '')
    .replace(/^[0-9a-f]{1,4}-[0-9a-f]{1,4}-/i, '')
    .trim()
    .slice(0, 40) || drawnPadTexts.aPad

const NO_NUMBERS: PadNumbers = { vendorId: 0, productId: 0 }

/**
 * Vendor and product number out of the name that a browser gives a pad; 0 and 0 where it tells none. The two shapes,
 * "… (Vendor: 1209 Product: 0001)" and "1209-0001-…", are from memory: the standard leaves the name to the browser (W3C
 * Gamepad, `id`).
 */
export function padNumbers(name: string): PadNumbers {
  const behind = /Vendor:\s*([0-9a-f]{4})\s+Product:\s*([0-9a-f]{4})/i.exec(name)
  const [, vendor, product] = behind ?? /^([0-9a-f]{1,4})-([0-9a-f]{1,4})-/i.exec(name) ?? []
  if (vendor === undefined || product === undefined) return NO_NUMBERS
  return { vendorId: parseInt(vendor, 16), productId: parseInt(product, 16) }
}
