import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { ALL_INPUTS } from '../port/pins.ts'
import type { InputMask } from '../port/pins.ts'
import type { ControlMask } from '../pad/controls.ts'
import {
  ACTIVITY_AT,
  ACTIVITY_HEAD_BYTES,
  ACTIVITY_READ_BYTES,
  ACTIVITY_REPORT_BYTES,
  ACTIVITY_LAST,
  ACTIVITY_MAX_REPORT_BYTES,
  PAD_OUTCOMES,
  PAD_RECORD_AT,
} from './constants.ts'
import type { DecodeError } from './messages.ts'

/** What an adapter keeps of the pads it met; LINK.md has the bytes. */

const VIAS = ['hid', 'vendor'] as const

/** A pad by what it said of itself. `unlisted` is what a newer firmware says and this program does not know. */
export interface PadRecord {
  readonly via: (typeof VIAS)[number] | 'unlisted'
  readonly outcome: (typeof PAD_OUTCOMES)[number] | 'unlisted'
  readonly vendorId: number
  readonly productId: number
  /** bcdDevice of its device descriptor (USB 2.0 section 9.6.1). */
  readonly release: number
  /** CRC-32 of its report descriptor; 0 where it has none. */
  readonly descriptorCrc32: number
}

/** A pad in the list of those that were met. */
export interface ListedPad extends PadRecord {
  /** How much of its report descriptor is kept. */
  readonly descriptorBytes: number
}

/** What the last pad and the console did last. Times are milliseconds since the pad was plugged in. */
export interface LastActivity {
  readonly pad: PadRecord
  /** Whether the pad was still there when this was taken. */
  readonly there: boolean
  readonly takenMs: number
  readonly reportCount: number
  readonly readCount: number
  /** In one read. */
  readonly mostRises: number
  readonly controls: ControlMask
  readonly inputs: InputMask
  /** The last that differed from the one before, oldest first. */
  readonly reports: readonly { readonly atMs: number; readonly bytes: Uint8Array }[]
  /** The last, oldest first. */
  readonly reads: readonly { readonly atMs: number; readonly rises: number }[]
}

export const getPad = (view: DataView, at: number): PadRecord => ({
  via: VIAS[view.getUint8(at + PAD_RECORD_AT.via)] ?? 'unlisted',
  outcome: PAD_OUTCOMES[view.getUint8(at + PAD_RECORD_AT.outcome)] ?? 'unlisted',
  vendorId: view.getUint16(at + PAD_RECORD_AT.vendor, true),
  productId: view.getUint16(at + PAD_RECORD_AT.product, true),
  release: view.getUint16(at + PAD_RECORD_AT.release, true),
  descriptorCrc32: view.getUint32(at + PAD_RECORD_AT.descriptorCrc32, true),
})

/** What was seen last, as an adapter hands it over. It may be longer than this version knows. */
export function decodeLastActivity(bytes: Uint8Array): Result<LastActivity, DecodeError> {
  if (bytes.length < ACTIVITY_HEAD_BYTES) return err('wrong length')
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  const readCount = view.getUint8(ACTIVITY_AT.reads)
  const reportCount = view.getUint8(ACTIVITY_AT.reports)
  const reportsAt = ACTIVITY_HEAD_BYTES + ACTIVITY_READ_BYTES * readCount
  if (bytes.length < reportsAt + ACTIVITY_REPORT_BYTES * reportCount) return err('wrong length')
  const inputs = view.getUint16(ACTIVITY_AT.inputs, true)
  const reads = Array.from({ length: readCount }, (_, k) => {
    const at = ACTIVITY_HEAD_BYTES + ACTIVITY_READ_BYTES * k
    return { atMs: view.getUint32(at, true), rises: view.getUint16(at + 4, true) }
  })
  const reports = Array.from({ length: reportCount }, (_, k) => {
    const at = reportsAt + ACTIVITY_REPORT_BYTES * k
    const count = view.getUint8(at + 4)
    return { atMs: view.getUint32(at, true), count, bytes: bytes.slice(at + 5, at + 5 + count) }
  })
  const plausible =
    readCount <= ACTIVITY_LAST &&
    reportCount <= ACTIVITY_LAST &&
    inputs <= ALL_INPUTS &&
    reports.every(({ count }) => count <= ACTIVITY_MAX_REPORT_BYTES)
  if (!plausible) return err('value out of range')
  return ok({
    pad: getPad(view, ACTIVITY_AT.pad),
    there: view.getUint8(ACTIVITY_AT.there) !== 0,
    takenMs: view.getUint32(ACTIVITY_AT.takenMs, true),
    reportCount: view.getUint32(ACTIVITY_AT.reportCount, true),
    readCount: view.getUint32(ACTIVITY_AT.readCount, true),
    mostRises: view.getUint16(ACTIVITY_AT.mostRises, true),
    controls: view.getUint32(ACTIVITY_AT.controls, true),
    inputs,
    reports: reports.map(({ atMs, bytes: report }) => ({ atMs, bytes: report })),
    reads,
  })
}
