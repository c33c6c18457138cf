import { foreign } from '../words/foreign.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { ALL_INPUTS } from '../port/pins.ts'
import type { InputMask } from '../port/pins.ts'
import type { ControlMask } from '../pad/controls.ts'
import { getPad } from './pad-history.ts'
import type { ListedPad } from './pad-history.ts'
import {
  BANK_NUMBERS,
  DEVICE_ERRORS,
  ERROR_AT,
  ERROR_BYTES,
  EVENT_AT,
  EVENT_BYTES,
  IDENTITY_AT,
  IDENTITY_BYTES,
  LASTING_BYTES,
  LISTED_PAD_BYTES,
  MAX_CHUNK_BYTES,
  HISTORY_MAX_PADS,
  NAME_BYTES,
  NO_BANK,
  PAD_RECORD_BYTES,
  PIECE_AT,
  PIECE_HEAD_BYTES,
  PRODUCT_MARK,
  STATUS_AT,
  STATUS_BANK_AT,
  STATUS_BANK_BYTES,
  STATUS_HEAD_BYTES,
  STATUS_TRIAL_AT,
  STATUS_TRIAL_BYTES,
  TRIAL_STATES,
} from './constants.ts'
import type { DecodeError, RequestKind } from './messages.ts'

/** What an adapter says of itself. */
export interface Identity {
  readonly protocol: { readonly major: number; readonly minor: number }
  readonly firmware: { readonly major: number; readonly minor: number; readonly patch: number }
  /** At most 24 bytes of UTF-8. */
  readonly board: string
  /** At most 24 bytes of UTF-8. */
  readonly serialNumber: string
  readonly largestImageBytes: number
  readonly chunkBytes: number
  /** A deliberate delay is kept in steps of this; 0: in steps of 1 ns. */
  readonly delayStepNs: number
  /** With a deliberate delay d the reply comes up to this many times d later than d says: 0 is exact. */
  readonly delayStretch: number
  /** From an edge of select at the connector to the settled reply there. */
  readonly replyMinNs: number
  readonly replyMaxNs: number
  /** How far the idle reset may come from the time that the profile asks for; negative is early. */
  readonly idleResetToleranceMinNs: number
  readonly idleResetToleranceMaxNs: number
}

/** What a bank holds, told by its length and check value. */
export interface BankContent {
  readonly length: number
  readonly crc32: number
}

export type TrialState = (typeof TRIAL_STATES)[number]

/** The slot of what is tried once. */
export interface TrialSlot {
  readonly content: BankContent | null
  /** Unlisted when a newer minor version of the protocol has added it. */
  readonly state: TrialState | 'unlisted'
}

/** Banks count from 0 here, as on the wire. */
export interface BankStates {
  readonly active: number | null
  readonly banks: readonly (BankContent | null)[]
  /** `null` where the firmware knows none: before version 1.2. */
  readonly trial: TrialSlot | null
}

/** A piece of a bank or of what is kept, and how long the whole is. */
export interface Piece {
  readonly total: number
  readonly bytes: Uint8Array
}

/** What each request is answered with when it succeeds. */
export interface Replies {
  identify: Identity
  status: BankStates
  write: null
  commit: null
  read: Piece
  'select-bank': null
  monitor: null
  'set-controls': null
  'pad-history': readonly ListedPad[]
  'read-stored': Piece
  'forget-pads': null
  'forget-trial': null
}

const LEVEL_CODES = ['low', 'high', 'unknown'] as const

/** What the monitor reports without being asked. */
export interface InputEvent {
  readonly controls: ControlMask
  readonly inputs: InputMask
  /** Rising edges of select since the counter was last reset; 65535 is that many or more. */
  readonly rises: number
  /** Unknown while no console is there. */
  readonly select: (typeof LEVEL_CODES)[number]
}

export type DeviceErrorName = (typeof DEVICE_ERRORS)[number]

export interface DeviceError {
  readonly code: number
  /** Unlisted when a newer minor version of the protocol has added it. */
  readonly name: DeviceErrorName | 'unlisted'
  /** Message type of the request that was refused. */
  readonly requestType: number
}

const viewOf = (payload: Uint8Array) => new DataView(payload.buffer, payload.byteOffset, payload.length)

function getName(payload: Uint8Array, at: number): string {
  const field = payload.subarray(at, at + NAME_BYTES)
  const end = field.indexOf(0)
  return foreign(new TextDecoder().decode(end < 0 ? field : field.subarray(0, end)))
}

/** Who answered, as far as every version of the protocol lets one tell; `null` when it is none of ours. */
export function decodeMark(payload: Uint8Array): Identity['protocol'] | null {
  if (payload.length < LASTING_BYTES) return null
  if (!PRODUCT_MARK.every((byte, k) => payload[k] === byte)) return null
  return { major: payload[IDENTITY_AT.major] as number, minor: payload[IDENTITY_AT.minor] as number }
}

function decodeIdentity(payload: Uint8Array): Result<Identity, DecodeError> {
  if (payload.length < IDENTITY_BYTES) return err('wrong length')
  const protocol = decodeMark(payload)
  if (protocol === null) return err('unknown message')
  const view = viewOf(payload)
  const at = IDENTITY_AT
  const identity: Identity = {
    protocol,
    firmware: {
      major: view.getUint8(at.firmware),
      minor: view.getUint8(at.firmware + 1),
      patch: view.getUint8(at.firmware + 2),
    },
    board: getName(payload, at.board),
    serialNumber: getName(payload, at.serial),
    largestImageBytes: view.getUint16(at.largestImageBytes, true),
    chunkBytes: view.getUint16(at.chunkBytes, true),
    delayStepNs: view.getUint8(at.delayStepNs),
    delayStretch: view.getUint8(at.delayStretch),
    replyMinNs: view.getUint32(at.replyMinNs, true),
    replyMaxNs: view.getUint32(at.replyMaxNs, true),
    idleResetToleranceMinNs: view.getInt32(at.idleResetMinNs, true),
    idleResetToleranceMaxNs: view.getInt32(at.idleResetMaxNs, true),
  }
  const plausible =
    view.getUint8(at.banks) === BANK_NUMBERS.length &&
    identity.largestImageBytes > 0 &&
    identity.chunkBytes > 0 &&
    identity.chunkBytes <= MAX_CHUNK_BYTES &&
    identity.replyMinNs <= identity.replyMaxNs &&
    identity.idleResetToleranceMinNs <= identity.idleResetToleranceMaxNs
  return plausible ? ok(identity) : err('value out of range')
}

function decodeStatus(payload: Uint8Array): Result<BankStates, DecodeError> {
  const count = BANK_NUMBERS.length
  if (payload.length < STATUS_HEAD_BYTES + STATUS_BANK_BYTES * count) return err('wrong length')
  const view = viewOf(payload)
  const active = view.getUint8(STATUS_AT.active)
  if (view.getUint8(STATUS_AT.banks) !== count || (active >= count && active !== NO_BANK))
    return err('value out of range')
  const banks = Array.from({ length: count }, (_, k) =>
    contentAt(view, STATUS_HEAD_BYTES + STATUS_BANK_BYTES * k, STATUS_BANK_AT),
  )
  const trial = decodeTrial(view, STATUS_HEAD_BYTES + STATUS_BANK_BYTES * count)
  return ok({ active: active === NO_BANK ? null : active, banks, trial })
}

function contentAt(view: DataView, at: number, fields: typeof STATUS_BANK_AT): BankContent | null {
  const length = view.getUint16(at + fields.length, true)
  return length === 0 ? null : { length, crc32: view.getUint32(at + fields.crc32, true) }
}

function decodeTrial(view: DataView, at: number): TrialSlot | null {
  if (view.byteLength < at + STATUS_TRIAL_BYTES) return null
  const state = TRIAL_STATES[view.getUint8(at + STATUS_TRIAL_AT.state)] ?? 'unlisted'
  return { content: contentAt(view, at, STATUS_TRIAL_AT), state }
}

function decodePiece(payload: Uint8Array): Result<Piece, DecodeError> {
  if (payload.length < PIECE_HEAD_BYTES) return err('wrong length')
  const end = PIECE_HEAD_BYTES + (payload[PIECE_AT.count] as number)
  if (payload.length < end) return err('wrong length')
  return ok({
    total: viewOf(payload).getUint16(PIECE_AT.total, true),
    bytes: payload.slice(PIECE_HEAD_BYTES, end),
  })
}

function decodePadHistory(payload: Uint8Array): Result<readonly ListedPad[], DecodeError> {
  const count = payload[0]
  if (count === undefined || payload.length < 1 + LISTED_PAD_BYTES * count) return err('wrong length')
  if (count > HISTORY_MAX_PADS) return err('value out of range')
  const view = viewOf(payload)
  return ok(
    Array.from({ length: count }, (_, k) => {
      const at = 1 + LISTED_PAD_BYTES * k
      return { ...getPad(view, at), descriptorBytes: view.getUint16(at + PAD_RECORD_BYTES, true) }
    }),
  )
}

const nothing = (): Result<null, DecodeError> => ok(null)

const DECODERS: {
  readonly [K in RequestKind]: (payload: Uint8Array) => Result<Replies[K], DecodeError>
} = {
  identify: decodeIdentity,
  status: decodeStatus,
  write: nothing,
  commit: nothing,
  read: decodePiece,
  'select-bank': nothing,
  monitor: nothing,
  'set-controls': nothing,
  'pad-history': decodePadHistory,
  'read-stored': decodePiece,
  'forget-pads': nothing,
  'forget-trial': nothing,
}

/** A reply as the host reads it. It may be longer than this version knows: a newer minor version appends. */
export const decodeReply = <K extends RequestKind>(
  kind: K,
  payload: Uint8Array,
): Result<Replies[K], DecodeError> => DECODERS[kind](payload)

export function decodeError(payload: Uint8Array): Result<DeviceError, DecodeError> {
  if (payload.length < ERROR_BYTES) return err('wrong length')
  const code = payload[ERROR_AT.code] as number
  return ok({
    code,
    name: DEVICE_ERRORS[code - 1] ?? 'unlisted',
    requestType: payload[ERROR_AT.type] as number,
  })
}

export function decodeInputEvent(payload: Uint8Array): Result<InputEvent, DecodeError> {
  if (payload.length < EVENT_BYTES) return err('wrong length')
  const view = viewOf(payload)
  const inputs = view.getUint16(EVENT_AT.inputs, true)
  const select = LEVEL_CODES[view.getUint8(EVENT_AT.select)]
  if (select === undefined || inputs > ALL_INPUTS) return err('value out of range')
  return ok({
    controls: view.getUint32(EVENT_AT.controls, true),
    inputs,
    rises: view.getUint16(EVENT_AT.rises, true),
    select,
  })
}
