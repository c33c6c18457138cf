import { err, ok } from '../../../src/port/result.ts'
import type { Result } from '../../../src/port/result.ts'
import {
  ACTIVITY_AT,
  ACTIVITY_HEAD_BYTES,
  ACTIVITY_READ_BYTES,
  ACTIVITY_REPORT_BYTES,
  BANK_NUMBERS,
  COMMIT_AT,
  COMMIT_BYTES,
  DEVICE_ERRORS,
  ERROR_AT,
  ERROR_BYTES,
  EVENT_AT,
  EVENT_BYTES,
  IDENTITY_AT,
  IDENTITY_BYTES,
  LISTED_PAD_BYTES,
  NAME_BYTES,
  NO_BANK,
  PAD_OUTCOMES,
  PAD_RECORD_AT,
  PAD_RECORD_BYTES,
  PIECE_AT,
  PIECE_HEAD_BYTES,
  PRODUCT_MARK,
  READ_AT,
  READ_BYTES,
  REQUEST_TYPES,
  STATUS_AT,
  STATUS_BANK_AT,
  STATUS_BANK_BYTES,
  STATUS_HEAD_BYTES,
  STATUS_TRIAL_AT,
  STATUS_TRIAL_BYTES,
  TRIAL_STATES,
  WRITE_AT,
  WRITE_HEAD_BYTES,
} from '../../../src/adapter/constants.ts'
import type { DecodeError, Request, RequestKind, RequestOf } from '../../../src/adapter/messages.ts'
import type { LastActivity, ListedPad, PadRecord } from '../../../src/adapter/pad-history.ts'
import type {
  BankStates,
  DeviceErrorName,
  Identity,
  InputEvent,
  Piece,
  Replies,
} from '../../../src/adapter/replies.ts'

/** The device's side of the link's messages (LINK.md): requests are read, replies and events are written. */

const viewOf = (payload: Uint8Array) => new DataView(payload.buffer, payload.byteOffset, payload.length)

interface Reader<R extends Request> {
  /** Payload length in bytes, or the least one. */
  readonly bytes: number | { readonly atLeast: number }
  readonly get: (view: DataView, payload: Uint8Array) => R
}

const READERS: { readonly [K in RequestKind]: Reader<RequestOf<K>> } = {
  identify: {
    bytes: 2,
    get: (view) => ({ kind: 'identify', major: view.getUint8(0), minor: view.getUint8(1) }),
  },
  status: { bytes: 0, get: () => ({ kind: 'status' }) },
  write: {
    bytes: { atLeast: WRITE_HEAD_BYTES + 1 },
    get: (view, payload) => ({
      kind: 'write',
      bank: view.getUint8(WRITE_AT.bank),
      total: view.getUint16(WRITE_AT.total, true),
      offset: view.getUint16(WRITE_AT.offset, true),
      bytes: payload.slice(WRITE_HEAD_BYTES),
    }),
  },
  commit: {
    bytes: COMMIT_BYTES,
    get: (view) => ({
      kind: 'commit',
      bank: view.getUint8(COMMIT_AT.bank),
      length: view.getUint16(COMMIT_AT.length, true),
      crc32: view.getUint32(COMMIT_AT.crc32, true),
    }),
  },
  read: {
    bytes: READ_BYTES,
    get: (view) => ({
      kind: 'read',
      bank: view.getUint8(READ_AT.which),
      offset: view.getUint16(READ_AT.offset, true),
      count: view.getUint8(READ_AT.count),
    }),
  },
  'select-bank': { bytes: 1, get: (view) => ({ kind: 'select-bank', bank: view.getUint8(0) }) },
  monitor: { bytes: 1, get: (view) => ({ kind: 'monitor', on: view.getUint8(0) !== 0 }) },
  'set-controls': { bytes: 4, get: (view) => ({ kind: 'set-controls', controls: view.getUint32(0, true) }) },
  'pad-history': { bytes: 0, get: () => ({ kind: 'pad-history' }) },
  'read-stored': {
    bytes: READ_BYTES,
    get: (view) => ({
      kind: 'read-stored',
      which: view.getUint8(READ_AT.which),
      offset: view.getUint16(READ_AT.offset, true),
      count: view.getUint8(READ_AT.count),
    }),
  },
  'forget-pads': { bytes: 0, get: () => ({ kind: 'forget-pads' }) },
  'forget-trial': { bytes: 0, get: () => ({ kind: 'forget-trial' }) },
}

const KINDS = new Map<number, RequestKind>(
  (Object.keys(REQUEST_TYPES) as RequestKind[]).map((kind) => [REQUEST_TYPES[kind], kind]),
)

/** A request as the device reads it. Its length must be exactly right: what is asked for decides what is done. */
export function decodeRequest(type: number, payload: Uint8Array): Result<Request, DecodeError> {
  const kind = KINDS.get(type)
  if (kind === undefined) return err('unknown message')
  const { bytes, get } = READERS[kind]
  const fits = typeof bytes === 'number' ? payload.length === bytes : payload.length >= bytes.atLeast
  return fits ? ok(get(viewOf(payload), payload)) : err('wrong length')
}

function putName(payload: Uint8Array, at: number, name: string): void {
  new TextEncoder().encodeInto(name, payload.subarray(at, at + NAME_BYTES))
}

function encodeIdentity(identity: Identity): Uint8Array {
  const payload = new Uint8Array(IDENTITY_BYTES)
  const view = viewOf(payload)
  const { protocol, firmware } = identity
  const at = IDENTITY_AT
  payload.set(PRODUCT_MARK, at.mark)
  payload.set([protocol.major, protocol.minor], at.major)
  payload.set([firmware.major, firmware.minor, firmware.patch], at.firmware)
  view.setUint8(at.banks, BANK_NUMBERS.length)
  view.setUint16(at.largestImageBytes, identity.largestImageBytes, true)
  view.setUint16(at.chunkBytes, identity.chunkBytes, true)
  view.setUint8(at.delayStepNs, identity.delayStepNs)
  view.setUint8(at.delayStretch, identity.delayStretch)
  view.setUint32(at.replyMinNs, identity.replyMinNs, true)
  view.setUint32(at.replyMaxNs, identity.replyMaxNs, true)
  view.setInt32(at.idleResetMinNs, identity.idleResetToleranceMinNs, true)
  view.setInt32(at.idleResetMaxNs, identity.idleResetToleranceMaxNs, true)
  putName(payload, at.board, identity.board)
  putName(payload, at.serial, identity.serialNumber)
  return payload
}

function encodeStatus({ active, banks, trial }: BankStates): Uint8Array {
  const trialAt = STATUS_HEAD_BYTES + STATUS_BANK_BYTES * banks.length
  const payload = new Uint8Array(trialAt + (trial ? STATUS_TRIAL_BYTES : 0))
  const view = viewOf(payload)
  view.setUint8(STATUS_AT.active, active ?? NO_BANK)
  view.setUint8(STATUS_AT.banks, banks.length)
  banks.forEach((bank, k) => {
    const at = STATUS_HEAD_BYTES + STATUS_BANK_BYTES * k
    view.setUint16(at + STATUS_BANK_AT.length, bank?.length ?? 0, true)
    view.setUint32(at + STATUS_BANK_AT.crc32, bank?.crc32 ?? 0, true)
  })
  if (trial) {
    view.setUint16(trialAt + STATUS_TRIAL_AT.length, trial.content?.length ?? 0, true)
    view.setUint32(trialAt + STATUS_TRIAL_AT.crc32, trial.content?.crc32 ?? 0, true)
    view.setUint8(trialAt + STATUS_TRIAL_AT.state, numberOf(TRIAL_STATES, trial.state))
  }
  return payload
}

function encodePiece({ total, bytes }: Piece): Uint8Array {
  const payload = new Uint8Array(PIECE_HEAD_BYTES + bytes.length)
  viewOf(payload).setUint16(PIECE_AT.total, total, true)
  payload[PIECE_AT.count] = bytes.length
  payload.set(bytes, PIECE_HEAD_BYTES)
  return payload
}

const VIAS = ['hid', 'vendor']

/** A number that stands for "unlisted" here only. */
const UNLISTED = 0xff

const numberOf = (names: readonly string[], name: string): number => {
  const number = names.indexOf(name)
  return number < 0 ? UNLISTED : number
}

export function putPad(view: DataView, at: number, pad: PadRecord): void {
  view.setUint8(at + PAD_RECORD_AT.via, numberOf(VIAS, pad.via))
  view.setUint8(at + PAD_RECORD_AT.outcome, numberOf(PAD_OUTCOMES, pad.outcome))
  view.setUint16(at + PAD_RECORD_AT.vendor, pad.vendorId, true)
  view.setUint16(at + PAD_RECORD_AT.product, pad.productId, true)
  view.setUint16(at + PAD_RECORD_AT.release, pad.release, true)
  view.setUint32(at + PAD_RECORD_AT.descriptorCrc32, pad.descriptorCrc32, true)
}

function encodePadHistory(pads: readonly ListedPad[]): Uint8Array {
  const payload = new Uint8Array(1 + LISTED_PAD_BYTES * pads.length)
  const view = viewOf(payload)
  payload[0] = pads.length
  pads.forEach((pad, k) => {
    const at = 1 + LISTED_PAD_BYTES * k
    putPad(view, at, pad)
    view.setUint16(at + PAD_RECORD_BYTES, pad.descriptorBytes, true)
  })
  return payload
}

/** At most `ACTIVITY_LAST` reports and reads, reports of at most `ACTIVITY_MAX_REPORT_BYTES`. */
export function encodeLastActivity(seen: LastActivity): Uint8Array<ArrayBuffer> {
  const { reads, reports } = seen
  const bytes = new Uint8Array(
    ACTIVITY_HEAD_BYTES + ACTIVITY_READ_BYTES * reads.length + ACTIVITY_REPORT_BYTES * reports.length,
  )
  const view = viewOf(bytes)
  putPad(view, ACTIVITY_AT.pad, seen.pad)
  view.setUint16(ACTIVITY_AT.mostRises, seen.mostRises, true)
  view.setUint8(ACTIVITY_AT.reads, reads.length)
  view.setUint8(ACTIVITY_AT.reports, reports.length)
  view.setUint32(ACTIVITY_AT.takenMs, seen.takenMs, true)
  view.setUint32(ACTIVITY_AT.reportCount, seen.reportCount, true)
  view.setUint32(ACTIVITY_AT.readCount, seen.readCount, true)
  view.setUint32(ACTIVITY_AT.controls, seen.controls, true)
  view.setUint16(ACTIVITY_AT.inputs, seen.inputs, true)
  view.setUint8(ACTIVITY_AT.there, seen.there ? 1 : 0)
  let at = ACTIVITY_HEAD_BYTES
  for (const { atMs, rises } of reads) {
    view.setUint32(at, atMs, true)
    view.setUint16(at + 4, rises, true)
    at += ACTIVITY_READ_BYTES
  }
  for (const report of reports) {
    view.setUint32(at, report.atMs, true)
    view.setUint8(at + 4, report.bytes.length)
    bytes.set(report.bytes, at + 5)
    at += ACTIVITY_REPORT_BYTES
  }
  return bytes
}

const nothing = () => new Uint8Array()

const ENCODERS: { readonly [K in RequestKind]: (reply: Replies[K]) => Uint8Array } = {
  identify: encodeIdentity,
  status: encodeStatus,
  write: nothing,
  commit: nothing,
  read: encodePiece,
  'select-bank': nothing,
  monitor: nothing,
  'set-controls': nothing,
  'pad-history': encodePadHistory,
  'read-stored': encodePiece,
  'forget-pads': nothing,
  'forget-trial': nothing,
}

/** Payload of the reply to a request. */
export const encodeReply = <K extends RequestKind>(kind: K, reply: Replies[K]): Uint8Array =>
  ENCODERS[kind](reply)

export function encodeError(error: DeviceErrorName, requestType: number): Uint8Array {
  const payload = new Uint8Array(ERROR_BYTES)
  payload[ERROR_AT.code] = DEVICE_ERRORS.indexOf(error) + 1
  payload[ERROR_AT.type] = requestType
  return payload
}

const LEVEL_CODES: readonly InputEvent['select'][] = ['low', 'high', 'unknown']

export function encodeInputEvent({ controls, inputs, rises, select }: InputEvent): Uint8Array {
  const payload = new Uint8Array(EVENT_BYTES)
  const view = viewOf(payload)
  view.setUint32(EVENT_AT.controls, controls, true)
  view.setUint16(EVENT_AT.inputs, inputs, true)
  view.setUint16(EVENT_AT.rises, Math.min(rises, 0xffff), true)
  view.setUint8(EVENT_AT.select, LEVEL_CODES.indexOf(select))
  return payload
}
