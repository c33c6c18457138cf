import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlsIn } from '../../../src/pad/controls.ts'
import { HeldReader } from '../../../src/pad/hold.ts'
import { VENDOR_LAYOUT } from '../../../src/pad/layout/built-in.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { fitLayouts } from '../../../src/profile/fit-layouts.ts'
import { imagePadReader } from './run-pad.ts'
import type { PluggedPad } from './run-pad.ts'
import { arbProfile } from '../../arbitraries.ts'
import {
  arbitraryLayout,
  arbitraryReport,
  arbitraryStick,
  arbitraryWideHat,
} from '../../pad/arbitrary-layout.ts'
import { draws, often } from '../../draws.ts'

const SIX = BUILT_IN_PROFILES['six-button']

/** A pad that a layout is for. */
const padOf = ({ pad }: Layout): PluggedPad => ({
  via: pad.via === 'vendor' ? 'vendor' : 'hid',
  vendorId: pad.vendorId,
  productId: pad.productId,
  descriptorCrc32: pad.descriptorCrc32 ?? 0,
})

const arbFor = { vias: ['hid', 'vendor'] } as const

describe('a pad by the bytes of an image and by its documents', () => {
  it('holds the same after every report', () => {
    let held = 0
    const met = new Set<string>()
    fc.assert(
      fc.property(
        arbitraryLayout(arbFor).chain((layout) =>
          fc.record({
            layout: fc.constant(layout),
            sticks: fc.record({ left: arbitraryStick, right: arbitraryStick }),
            reports: fc.array(arbitraryReport(layout), { minLength: 1, maxLength: 12 }),
          }),
        ),
        ({ layout, sticks, reports }) => {
          const reader = imagePadReader(encodeImage({ ...SIX, sticks }, [layout]), padOf(layout))
          const book = new HeldReader(layout, sticks)
          for (const report of reports) {
            const expected = book.report(report)
            expect(reader?.report(report)).toBe(expected)
            if (expected !== 0) held += 1
            for (const control of controlsIn(expected)) met.add(control)
          }
        },
      ),
      { numRuns: draws(1_500) },
    )
    expect(held).toBeGreaterThan(often(3_000))
    expect(met.size).toBe(32)
  })

  it('a hat is the same at every value of 16 bits, whatever its step', () => {
    fc.assert(
      fc.property(arbitraryWideHat, (hat) => {
        const layout: Layout = { ...VENDOR_LAYOUT, extractors: [hat] }
        const reader = imagePadReader(encodeImage(SIX, [layout]), padOf(layout))
        const book = new HeldReader(layout, SIX.sticks)
        for (let value = 0; value < 0x10000; value++) {
          const bytes = Uint8Array.of(value, value >> 8)
          const held = book.report(bytes)
          if (reader?.report(bytes) !== held) expect([value, reader?.report(bytes)]).toEqual([value, held])
        }
      }),
      { numRuns: 5 },
    )
  })

  it('a stick is the same on any way that it takes', () => {
    const axis = (stick: 'left' | 'right', name: 'x' | 'y', bit: number) => ({
      kind: 'axis' as const,
      stick,
      axis: name,
      field: { report: 0, bit, bits: 16, signed: true },
      low: -32_767,
      centre: 0,
      high: 32_767,
    })
    const layout: Layout = {
      format: 'ninepin-layout',
      version: 1,
      name: 'Stick',
      notes: '',
      pad: { via: 'hid', vendorId: 1, productId: 1, descriptorCrc32: null },
      extractors: [axis('left', 'x', 0), axis('left', 'y', 16)],
    }
    // Near the last place more often than anywhere.
    const arbMove = fc.oneof(
      fc.record({
        far: fc.constant(false),
        x: fc.integer({ min: -2_000, max: 2_000 }),
        y: fc.integer({ min: -2_000, max: 2_000 }),
      }),
      fc.record({
        far: fc.constant(true),
        x: fc.integer({ min: -32_767, max: 32_767 }),
        y: fc.integer({ min: -32_767, max: 32_767 }),
      }),
    )
    const kept = (value: number) => Math.max(-32_767, Math.min(32_767, value))
    fc.assert(
      fc.property(arbitraryStick, fc.array(arbMove, { minLength: 1, maxLength: 40 }), (left, moves) => {
        const sticks = { left, right: left }
        const reader = imagePadReader(encodeImage({ ...SIX, sticks }, [layout]), padOf(layout))
        const book = new HeldReader(layout, sticks)
        let [x, y] = [0, 0]
        for (const move of moves) {
          x = kept(move.far ? move.x : x + move.x)
          y = kept(move.far ? move.y : y + move.y)
          const report = new Uint8Array(4)
          new DataView(report.buffer).setInt16(0, x, true)
          new DataView(report.buffer).setInt16(2, y, true)
          expect(reader?.report(report)).toBe(book.report(report))
        }
      }),
      { numRuns: draws(1_500) },
    )
  })

  it('is the first in the image that it fits, behind whatever profile', () => {
    const one = arbitraryLayout({ ...arbFor, extractors: 12 })
    let found = 0
    fc.assert(
      fc.property(
        arbProfile,
        fc.array(fc.tuple(one, arbPad), { maxLength: 4 }),
        arbPad,
        fc.constantFrom(7, 8),
        (profile, drawn, plugged, crc) => {
          const all = drawn.map(([layout, pad]): Layout => ({ ...layout, pad }))
          const layouts = fitLayouts(all).fit
          const pad: PluggedPad = { ...plugged, descriptorCrc32: crc }
          const reader = imagePadReader(encodeImage(profile, layouts), pad)
          const layout = layouts.find(
            (candidate) =>
              candidate.pad.via === pad.via &&
              candidate.pad.vendorId === pad.vendorId &&
              (candidate.pad.descriptorCrc32 ?? crc) === crc,
          )
          expect(reader === null).toBe(layout === undefined)
          if (layout === undefined) return
          found += 1
          const [report] = fc.sample(arbitraryReport(layout), { numRuns: 1, seed: found })
          if (report)
            expect(reader?.report(report)).toBe(new HeldReader(layout, profile.sticks).report(report))
        },
      ),
      { numRuns: draws(500) },
    )
    expect(found).toBeGreaterThan(often(50))
  })
})

/** Few pads, so that several layouts are for the same one. */
const arbPad = fc.record({
  via: fc.constantFrom('hid' as const, 'vendor' as const),
  vendorId: fc.constantFrom(1, 2),
  productId: fc.constant(3),
  descriptorCrc32: fc.constantFrom(null, 7, 8),
})
