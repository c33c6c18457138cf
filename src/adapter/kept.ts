import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { ALL_INPUTS } from '../port/pins.ts'
import type { InputMask } from '../port/pins.ts'
import type { ControlMask } from '../pad/controls.ts'
import type { DecodeError } from './messages.ts'

/** What an adapter keeps of the pads it met; LINK.md has the bytes. */

/** How many pads an adapter keeps. */
export const MOST_PADS_MET = 8
/** The most that is kept of a report descriptor. */
export const MOST_DESCRIPTOR_BYTES = 2048
/** A full-speed interrupt packet (USB 2.0 section 5.7.3). */
export const MOST_REPORT_BYTES = 64
/** So many of the last reports and of the last reads are told of. */
export const LAST_KEPT = 16

const VIAS = ['hid', 'vendor'] as const

/** What became of a pad. The order is the number on the wire: append, never reorder. */
export const PAD_OUTCOMES = ['served', 'no layout', 'hub', 'keyboard', 'no pad', 'failed'] as const

/** A pad by what it said of itself. `unlisted` is what a newer firmware says and this program does not know. */
export interface MetPad {
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
export interface PadMet extends MetPad {
  /** How much of its report descriptor is kept. */
  readonly descriptorBytes: number
}

/** What the last pad and the console did last. Times are milliseconds since the pad was plugged in. */
export interface LastSeen {
  readonly pad: MetPad
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

export const PAD_BYTES = 12
const HEAD_BYTES = 36
const READ_BYTES = 6
const REPORT_BYTES = 5 + MOST_REPORT_BYTES
export const MOST_SEEN_BYTES = HEAD_BYTES + LAST_KEPT * (READ_BYTES + REPORT_BYTES)

/** A number that stands for "unlisted" on this side only. */
const UNLISTED = 0xff

const numberOf = (names: readonly string[], name: string): number => {
  const number = names.indexOf(name)
  return number < 0 ? UNLISTED : number
}

export function putPad(view: DataView, at: number, pad: MetPad): void {
  view.setUint8(at, numberOf(VIAS, pad.via))
  view.setUint8(at + 1, numberOf(PAD_OUTCOMES, pad.outcome))
  view.setUint16(at + 2, pad.vendorId, true)
  view.setUint16(at + 4, pad.productId, true)
  view.setUint16(at + 6, pad.release, true)
  view.setUint32(at + 8, pad.descriptorCrc32, true)
}

export const getPad = (view: DataView, at: number): MetPad => ({
  via: VIAS[view.getUint8(at)] ?? 'unlisted',
  outcome: PAD_OUTCOMES[view.getUint8(at + 1)] ?? 'unlisted',
  vendorId: view.getUint16(at + 2, true),
  productId: view.getUint16(at + 4, true),
  release: view.getUint16(at + 6, true),
  descriptorCrc32: view.getUint32(at + 8, true),
})

/** At most {@link LAST_KEPT} reports and reads, reports of at most {@link MOST_REPORT_BYTES}. */
export function encodeLastSeen(seen: LastSeen): Uint8Array<ArrayBuffer> {
  const { reads, reports } = seen
  const bytes = new Uint8Array(HEAD_BYTES + READ_BYTES * reads.length + REPORT_BYTES * reports.length)
  const view = new DataView(bytes.buffer)
  putPad(view, 0, seen.pad)
  view.setUint16(12, seen.mostRises, true)
  view.setUint8(14, reads.length)
  view.setUint8(15, reports.length)
  view.setUint32(16, seen.takenMs, true)
  view.setUint32(20, seen.reportCount, true)
  view.setUint32(24, seen.readCount, true)
  view.setUint32(28, seen.controls, true)
  view.setUint16(32, seen.inputs, true)
  view.setUint8(34, seen.there ? 1 : 0)
  let at = HEAD_BYTES
  for (const { atMs, rises } of reads) {
    view.setUint32(at, atMs, true)
    view.setUint16(at + 4, rises, true)
    at += READ_BYTES
  }
  for (const report of reports) {
    view.setUint32(at, report.atMs, true)
    view.setUint8(at + 4, report.bytes.length)
    bytes.set(report.bytes, at + 5)
    at += REPORT_BYTES
  }
  return bytes
}

/** What was seen last, as an adapter hands it over. It may be longer than this version knows. */
export function decodeLastSeen(bytes: Uint8Array): Result<LastSeen, DecodeError> {
  if (bytes.length < HEAD_BYTES) return err('wrong length')
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  const readCount = view.getUint8(14)
  const reportCount = view.getUint8(15)
  const reportsAt = HEAD_BYTES + READ_BYTES * readCount
  if (bytes.length < reportsAt + REPORT_BYTES * reportCount) return err('wrong length')
  const inputs = view.getUint16(32, true)
  const reads = Array.from({ length: readCount }, (_, k) => {
    const at = HEAD_BYTES + READ_BYTES * k
    return { atMs: view.getUint32(at, true), rises: view.getUint16(at + 4, true) }
  })
  const reports = Array.from({ length: reportCount }, (_, k) => {
    const at = reportsAt + REPORT_BYTES * k
    const count = view.getUint8(at + 4)
    return { atMs: view.getUint32(at, true), count, bytes: bytes.slice(at + 5, at + 5 + count) }
  })
  const plausible =
    readCount <= LAST_KEPT &&
    reportCount <= LAST_KEPT &&
    inputs <= ALL_INPUTS &&
    reports.every(({ count }) => count <= MOST_REPORT_BYTES)
  if (!plausible) return err('value out of range')
  return ok({
    pad: getPad(view, 0),
    there: view.getUint8(34) !== 0,
    takenMs: view.getUint32(16, true),
    reportCount: view.getUint32(20, true),
    readCount: view.getUint32(24, true),
    mostRises: view.getUint16(12, true),
    controls: view.getUint32(28, true),
    inputs,
    reports: reports.map(({ atMs, bytes: report }) => ({ atMs, bytes: report })),
    reads,
  })
}
