import { describe, expect, it } from 'vitest'
import { VENDOR_LAYOUT } from '../../src/pad/layout/built-in.ts'
import type { Layout } from '../../src/pad/layout/schema.ts'
import { sameInImage } from '../../src/profile/same-in-image.ts'
import { layoutFor, shadowing } from '../../src/profile/shadowing.ts'

/** A layout for pads of the pid.codes test vendor. */
const layout = (pad: Partial<Layout['pad']> = {}): Layout => ({
  ...VENDOR_LAYOUT,
  name: 'Lamp room pad',
  notes: '',
  pad: { via: 'hid', vendorId: 0x1209, productId: 9, descriptorCrc32: null, ...pad },
})
const ANY = layout()
const ONE = layout({ descriptorCrc32: 7 })
const OTHERS = [layout({ productId: 8 }), layout({ vendorId: 1 }), layout({ via: 'vendor' })]

describe('a layout is never used', () => {
  it('behind one for the same pad with any descriptor, or with its own', () => {
    expect(shadowing(ONE, [...OTHERS, ANY])).toBe(ANY)
    expect(shadowing(ONE, [ONE])).toBe(ONE)
    expect(shadowing(ANY, [ANY, ONE])).toBe(ANY)
  })

  it('and is, behind those for other pads and other descriptors', () => {
    expect(shadowing(ONE, [...OTHERS, layout({ descriptorCrc32: 8 })])).toBeUndefined()
    expect(shadowing(ANY, [...OTHERS, ONE])).toBeUndefined()
    expect(shadowing(ANY, [])).toBeUndefined()
  })
})

describe('a pad is read', () => {
  it('by the first layout for it', () => {
    expect(layoutFor(ONE.pad, [...OTHERS, ONE, ANY])).toBe(ONE)
    expect(layoutFor({ ...ONE.pad, descriptorCrc32: 8 }, [...OTHERS, ONE, ANY])).toBe(ANY)
  })

  it('by what the firmware knows where it is of the vendor class, and else by nothing', () => {
    const pad = { ...ANY.pad, via: 'vendor', productId: 77 }
    expect(layoutFor(pad, [ANY])).toBe(VENDOR_LAYOUT)
    expect(layoutFor({ ...pad, via: 'hid' }, [ANY])).toBeNull()
  })
})

it('two layouts are one in an image whatever their notes say, and not where anything else differs', () => {
  expect(sameInImage(ANY, { ...ANY, notes: 'Bought in spring.' })).toBe(true)
  expect(sameInImage({ ...ANY, notes: 'Bought in spring.' }, ANY)).toBe(true)
  expect(sameInImage(ANY, { ...ANY, name: 'Other pad' })).toBe(false)
  expect(sameInImage(ANY, ONE)).toBe(false)
})
