import type { LastActivity, PadRecord } from '../../src/adapter/pad-history.ts'

/** A pad without a layout, and what an adapter saw of it last. */
export const met: PadRecord = {
  via: 'hid',
  outcome: 'no layout',
  vendorId: 0x1209,
  productId: 8,
  release: 0x0213,
  descriptorCrc32: 0x1234,
}

export const seen = (change: Partial<LastActivity>): LastActivity => ({
  pad: met,
  there: true,
  takenMs: 1000,
  reportCount: 2,
  readCount: 3,
  mostRises: 4,
  controls: 0,
  inputs: 0,
  reports: [],
  reads: [
    { atMs: 100, rises: 4 },
    { atMs: 117, rises: 4 },
    { atMs: 133, rises: 4 },
  ],
  ...change,
})
