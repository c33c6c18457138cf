import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import {
  COMMIT_AT,
  COMMIT_BYTES,
  PROTOCOL,
  READ_AT,
  READ_BYTES,
  REQUEST_TYPES,
  WRITE_AT,
  WRITE_HEAD_BYTES,
} from './constants.ts'

/** What the host may ask. Banks count from 0 here, as on the wire. */
export type Request =
  | { readonly kind: 'identify'; readonly major: number; readonly minor: number }
  | { readonly kind: 'status' }
  | {
      readonly kind: 'write'
      readonly bank: number
      /** Length of the whole image in bytes. */
      readonly total: number
      readonly offset: number
      readonly bytes: Uint8Array
    }
  | { readonly kind: 'commit'; readonly bank: number; readonly length: number; readonly crc32: number }
  | { readonly kind: 'read'; readonly bank: number; readonly offset: number; readonly count: number }
  | { readonly kind: 'select-bank'; readonly bank: number }
  | { readonly kind: 'monitor'; readonly on: boolean }
  | { readonly kind: 'set-controls'; readonly controls: number }
  | { readonly kind: 'pads-met' }
  | {
      readonly kind: 'read-kept'
      /** 0 is what was seen last, 1 to 8 the report descriptor of that pad. */
      readonly which: number
      readonly offset: number
      readonly count: number
    }
  | { readonly kind: 'forget-pads' }

export type RequestKind = Request['kind']
export type RequestOf<K extends RequestKind> = Extract<Request, { kind: K }>

/** Every request has a type. */
const TYPES: Readonly<Record<RequestKind, number>> = REQUEST_TYPES

export type DecodeError = 'unknown message' | 'wrong length' | 'value out of range'

/** The one request that is ever sent to a device that has not identified itself. */
export const IDENTIFY: RequestOf<'identify'> = { kind: 'identify', ...PROTOCOL }

interface Codec<R extends Request> {
  /** Payload length in bytes, or the least one. */
  readonly bytes: number | { readonly atLeast: number }
  readonly put: (request: R, view: DataView, payload: Uint8Array) => void
  readonly get: (view: DataView, payload: Uint8Array) => R
}

const CODECS: { readonly [K in RequestKind]: Codec<RequestOf<K>> } = {
  identify: {
    bytes: 2,
    put: ({ major, minor }, view) => {
      view.setUint8(0, major)
      view.setUint8(1, minor)
    },
    get: (view) => ({ kind: 'identify', major: view.getUint8(0), minor: view.getUint8(1) }),
  },
  status: { bytes: 0, put: () => undefined, get: () => ({ kind: 'status' }) },
  write: {
    bytes: { atLeast: WRITE_HEAD_BYTES + 1 },
    put: ({ bank, total, offset, bytes }, view, payload) => {
      view.setUint8(WRITE_AT.bank, bank)
      view.setUint16(WRITE_AT.total, total, true)
      view.setUint16(WRITE_AT.offset, offset, true)
      payload.set(bytes, WRITE_HEAD_BYTES)
    },
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
    put: ({ bank, length, crc32 }, view) => {
      view.setUint8(COMMIT_AT.bank, bank)
      view.setUint16(COMMIT_AT.length, length, true)
      view.setUint32(COMMIT_AT.crc32, crc32, true)
    },
    get: (view) => ({
      kind: 'commit',
      bank: view.getUint8(COMMIT_AT.bank),
      length: view.getUint16(COMMIT_AT.length, true),
      crc32: view.getUint32(COMMIT_AT.crc32, true),
    }),
  },
  read: {
    bytes: READ_BYTES,
    put: ({ bank, offset, count }, view) => {
      view.setUint8(READ_AT.which, bank)
      view.setUint16(READ_AT.offset, offset, true)
      view.setUint8(READ_AT.count, count)
    },
    get: (view) => ({
      kind: 'read',
      bank: view.getUint8(READ_AT.which),
      offset: view.getUint16(READ_AT.offset, true),
      count: view.getUint8(READ_AT.count),
    }),
  },
  'select-bank': {
    bytes: 1,
    put: ({ bank }, view) => view.setUint8(0, bank),
    get: (view) => ({ kind: 'select-bank', bank: view.getUint8(0) }),
  },
  monitor: {
    bytes: 1,
    put: ({ on }, view) => view.setUint8(0, on ? 1 : 0),
    get: (view) => ({ kind: 'monitor', on: view.getUint8(0) !== 0 }),
  },
  'set-controls': {
    bytes: 4,
    put: ({ controls }, view) => view.setUint32(0, controls, true),
    get: (view) => ({ kind: 'set-controls', controls: view.getUint32(0, true) }),
  },
  'pads-met': { bytes: 0, put: () => undefined, get: () => ({ kind: 'pads-met' }) },
  'read-kept': {
    bytes: READ_BYTES,
    put: ({ which, offset, count }, view) => {
      view.setUint8(READ_AT.which, which)
      view.setUint16(READ_AT.offset, offset, true)
      view.setUint8(READ_AT.count, count)
    },
    get: (view) => ({
      kind: 'read-kept',
      which: view.getUint8(READ_AT.which),
      offset: view.getUint16(READ_AT.offset, true),
      count: view.getUint8(READ_AT.count),
    }),
  },
  'forget-pads': { bytes: 0, put: () => undefined, get: () => ({ kind: 'forget-pads' }) },
}

const KINDS = new Map<number, RequestKind>(
  (Object.keys(TYPES) as RequestKind[]).map((kind) => [TYPES[kind], kind]),
)

/** The request that a type number stands for, if this version knows it. */
const requestKind = (type: number): RequestKind | undefined => KINDS.get(type)

/** Message type and payload of a request. */
export function encodeRequest(request: Request): { readonly type: number; readonly payload: Uint8Array } {
  // The kind picks the codec of this very request, which the compiler cannot see through the table.
  const codec = CODECS[request.kind] as Codec<Request>
  const length = request.kind === 'write' ? WRITE_HEAD_BYTES + request.bytes.length : (codec.bytes as number)
  const payload = new Uint8Array(length)
  codec.put(request, new DataView(payload.buffer), payload)
  return { type: TYPES[request.kind], payload }
}

/** A request as the device reads it. Its length must be exactly right: what is asked for decides what is done. */
export function decodeRequest(type: number, payload: Uint8Array): Result<Request, DecodeError> {
  const kind = requestKind(type)
  if (kind === undefined) return err('unknown message')
  const { bytes, get } = CODECS[kind]
  const fits = typeof bytes === 'number' ? payload.length === bytes : payload.length >= bytes.atLeast
  if (!fits) return err('wrong length')
  return ok(get(new DataView(payload.buffer, payload.byteOffset, payload.length), payload))
}
