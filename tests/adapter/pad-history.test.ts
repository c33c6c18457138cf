import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { decodeLastActivity } from '../../src/adapter/pad-history.ts'
import {
  ACTIVITY_LAST,
  ACTIVITY_MAX_REPORT_BYTES,
  MAX_ACTIVITY_BYTES,
  PAD_OUTCOMES,
} from '../../src/adapter/constants.ts'
import type { LastActivity } from '../../src/adapter/pad-history.ts'
import { encodeLastActivity } from '../reference/adapter/link-device-codec.ts'
import { draws } from '../draws.ts'

const u16 = fc.integer({ min: 0, max: 0xffff })
const u32 = fc.integer({ min: 0, max: 0xffffffff })

const lastActivity: fc.Arbitrary<LastActivity> = fc.record({
  pad: fc.record({
    via: fc.constantFrom('hid', 'vendor', 'unlisted'),
    outcome: fc.constantFrom(...PAD_OUTCOMES, 'unlisted'),
    vendorId: u16,
    productId: u16,
    release: u16,
    descriptorCrc32: u32,
  }),
  there: fc.boolean(),
  takenMs: u32,
  reportCount: u32,
  readCount: u32,
  mostRises: u16,
  controls: u32,
  inputs: fc.integer({ min: 0, max: 0xfff }),
  reports: fc.array(
    fc.record({ atMs: u32, bytes: fc.uint8Array({ maxLength: ACTIVITY_MAX_REPORT_BYTES }) }),
    {
      maxLength: ACTIVITY_LAST,
      size: 'max',
    },
  ),
  reads: fc.array(fc.record({ atMs: u32, rises: u16 }), { maxLength: ACTIVITY_LAST, size: 'max' }),
})

describe('what was seen last', () => {
  test('comes back as it was, also when a later version has appended something', () => {
    fc.assert(
      fc.property(lastActivity, fc.uint8Array({ maxLength: 8 }), (seen, appended) => {
        const bytes = encodeLastActivity(seen)
        expect(bytes.length).toBeLessThanOrEqual(MAX_ACTIVITY_BYTES)
        expect(decodeLastActivity(bytes)).toEqual({ ok: true, value: seen })
        expect(decodeLastActivity(Uint8Array.of(...bytes, ...appended))).toEqual({ ok: true, value: seen })
        expect(decodeLastActivity(bytes.slice(0, -1))).toEqual({ ok: false, error: 'wrong length' })
      }),
    )
  })

  test.each([
    ['17 reads', 14, 17],
    ['17 reports', 15, 17],
    ['an input that there is not', 33, 0x10],
    ['a report of 65 bytes', 36 + 4, 65],
  ])('with %s is refused', (_, at, value) => {
    const bytes = new Uint8Array(36 + 17 * (6 + 69))
    bytes[15] = 1
    expect(decodeLastActivity(bytes).ok).toBe(true)
    bytes[at] = value
    expect(decodeLastActivity(bytes)).toEqual({ ok: false, error: 'value out of range' })
  })

  test('never throws, whatever it is given', () => {
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 1400, size: 'max' }),
        fc.nat(20),
        fc.nat(20),
        (bytes, reads, reports) => {
          if (bytes.length > 15) bytes.set([reads, reports], 14)
          const seen = decodeLastActivity(bytes)
          if (!seen.ok) return
          expect(seen.value.reads.length).toBe(reads)
          for (const { bytes: report } of seen.value.reports)
            expect(report.length).toBeLessThanOrEqual(ACTIVITY_MAX_REPORT_BYTES)
        },
      ),
      { numRuns: draws(20_000) },
    )
  })
})
