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

/** What the host may ask. Banks count from 0 here, as on the wire, and the trial slot comes behind the last. */
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
  | { readonly kind: 'pad-history' }
  | {
      readonly kind: 'read-stored'
      /** 0 is what was seen last, 1 to 8 the report descriptor of that pad. */
      readonly which: number
      readonly offset: number
      readonly count: number
    }
  | { readonly kind: 'forget-pads' }
  | { readonly kind: 'forget-trial' }

export type RequestKind = Request['kind']
export type RequestOf<K extends RequestKind> = Extract<Request, { kind: K }>

/** Every request has a type. */
const TYPES: Readonly<Record<RequestKind, number>> = REQUEST_TYPES

export type DecodeError = 'unknown message' | 'wrong length' | 'value out of range'

/** The one request that is ever sent to a device that has not identified itself. */
export const IDENTIFY: RequestOf<'identify'> = { kind: 'identify', ...PROTOCOL }

interface Writer<R extends Request> {
  /** Length of the payload. */
  readonly bytes: number | ((request: R) => number)
  readonly put: (request: R, view: DataView, payload: Uint8Array) => void
}

const WRITERS: { readonly [K in RequestKind]: Writer<RequestOf<K>> } = {
  identify: {
    bytes: 2,
    put: ({ major, minor }, view) => {
      view.setUint8(0, major)
      view.setUint8(1, minor)
    },
  },
  status: { bytes: 0, put: () => undefined },
  write: {
    bytes: ({ bytes }) => WRITE_HEAD_BYTES + bytes.length,
    put: ({ bank, total, offset, bytes }, view, payload) => {
      view.setUint8(WRITE_AT.bank, bank)
      view.setUint16(WRITE_AT.total, total, true)
      view.setUint16(WRITE_AT.offset, offset, true)
      payload.set(bytes, WRITE_HEAD_BYTES)
    },
  },
  commit: {
    bytes: COMMIT_BYTES,
    put: ({ bank, length, crc32 }, view) => {
      view.setUint8(COMMIT_AT.bank, bank)
      view.setUint16(COMMIT_AT.length, length, true)
      view.setUint32(COMMIT_AT.crc32, crc32, true)
    },
  },
  read: {
    bytes: READ_BYTES,
    put: ({ bank, offset, count }, view) => {
      view.setUint8(READ_AT.which, bank)
      view.setUint16(READ_AT.offset, offset, true)
      view.setUint8(READ_AT.count, count)
    },
  },
  'select-bank': {
    bytes: 1,
    put: ({ bank }, view) => view.setUint8(0, bank),
  },
  monitor: {
    bytes: 1,
    put: ({ on }, view) => view.setUint8(0, on ? 1 : 0),
  },
  'set-controls': {
    bytes: 4,
    put: ({ controls }, view) => view.setUint32(0, controls, true),
  },
  'pad-history': { bytes: 0, put: () => undefined },
  'read-stored': {
    bytes: READ_BYTES,
    put: ({ which, offset, count }, view) => {
      view.setUint8(READ_AT.which, which)
      view.setUint16(READ_AT.offset, offset, true)
      view.setUint8(READ_AT.count, count)
    },
  },
  'forget-pads': { bytes: 0, put: () => undefined },
  'forget-trial': { bytes: 0, put: () => undefined },
}

/** Message type and payload of a request. */
export function encodeRequest(request: Request): { readonly type: number; readonly payload: Uint8Array } {
  // The kind picks the writer of this very request, which the compiler cannot see through the table.
  const { bytes, put } = WRITERS[request.kind] as Writer<Request>
  const payload = new Uint8Array(typeof bytes === 'number' ? bytes : bytes(request))
  put(request, new DataView(payload.buffer), payload)
  return { type: TYPES[request.kind], payload }
}
