import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { PROTOCOL } from './constants.ts'

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

export const REQUEST_TYPES: Readonly<Record<RequestKind, number>> = {
  identify: 0x01,
  status: 0x02,
  write: 0x03,
  commit: 0x04,
  read: 0x05,
  'select-bank': 0x06,
  monitor: 0x07,
  'set-controls': 0x08,
  'pads-met': 0x09,
  'read-kept': 0x0a,
  'forget-pads': 0x0b,
}

/** A reply has the type of its request with this bit set. */
export const REPLY_BIT = 0x80
export const INPUT_EVENT_TYPE = 0xc0
export const ERROR_TYPE = 0xff

export type DecodeError = 'unknown message' | 'wrong length' | 'value out of range'

/** The one request that is ever sent to a device that has not identified itself. */
export const IDENTIFY: RequestOf<'identify'> = { kind: 'identify', ...PROTOCOL }

interface Codec<R extends Request> {
  /** Payload length in bytes, or the least one. */
  readonly bytes: number | { readonly atLeast: number }
  readonly put: (request: R, view: DataView, payload: Uint8Array) => void
  readonly get: (view: DataView, payload: Uint8Array) => R
}

const WRITE_HEADER_BYTES = 5

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
    bytes: { atLeast: WRITE_HEADER_BYTES + 1 },
    put: ({ bank, total, offset, bytes }, view, payload) => {
      view.setUint8(0, bank)
      view.setUint16(1, total, true)
      view.setUint16(3, offset, true)
      payload.set(bytes, WRITE_HEADER_BYTES)
    },
    get: (view, payload) => ({
      kind: 'write',
      bank: view.getUint8(0),
      total: view.getUint16(1, true),
      offset: view.getUint16(3, true),
      bytes: payload.slice(WRITE_HEADER_BYTES),
    }),
  },
  commit: {
    bytes: 7,
    put: ({ bank, length, crc32 }, view) => {
      view.setUint8(0, bank)
      view.setUint16(1, length, true)
      view.setUint32(3, crc32, true)
    },
    get: (view) => ({
      kind: 'commit',
      bank: view.getUint8(0),
      length: view.getUint16(1, true),
      crc32: view.getUint32(3, true),
    }),
  },
  read: {
    bytes: 4,
    put: ({ bank, offset, count }, view) => {
      view.setUint8(0, bank)
      view.setUint16(1, offset, true)
      view.setUint8(3, count)
    },
    get: (view) => ({
      kind: 'read',
      bank: view.getUint8(0),
      offset: view.getUint16(1, true),
      count: view.getUint8(3),
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
    bytes: 4,
    put: ({ which, offset, count }, view) => {
      view.setUint8(0, which)
      view.setUint16(1, offset, true)
      view.setUint8(3, count)
    },
    get: (view) => ({
      kind: 'read-kept',
      which: view.getUint8(0),
      offset: view.getUint16(1, true),
      count: view.getUint8(3),
    }),
  },
  'forget-pads': { bytes: 0, put: () => undefined, get: () => ({ kind: 'forget-pads' }) },
}

const KINDS = new Map<number, RequestKind>(
  (Object.keys(REQUEST_TYPES) as RequestKind[]).map((kind) => [REQUEST_TYPES[kind], kind]),
)

/** The request that a type number stands for, if this version knows it. */
const requestKind = (type: number): RequestKind | undefined => KINDS.get(type)

/** Message type and payload of a request. */
export function encodeRequest(request: Request): { readonly type: number; readonly payload: Uint8Array } {
  // The kind picks the codec of this very request, which the compiler cannot see through the table.
  const codec = CODECS[request.kind] as Codec<Request>
  const length =
    request.kind === 'write' ? WRITE_HEADER_BYTES + request.bytes.length : (codec.bytes as number)
  const payload = new Uint8Array(length)
  codec.put(request, new DataView(payload.buffer), payload)
  return { type: REQUEST_TYPES[request.kind], payload }
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
