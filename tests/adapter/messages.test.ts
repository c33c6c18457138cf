import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  BANK_NUMBERS,
  TRIAL_STATES,
  MAX_CHUNK_BYTES,
  PRODUCT_MARK,
  REQUEST_TYPES,
  HISTORY_MAX_PADS,
  PAD_OUTCOMES,
  DEVICE_ERRORS,
} from '../../src/adapter/constants.ts'
import { encodeRequest } from '../../src/adapter/messages.ts'
import type { Request, RequestKind } from '../../src/adapter/messages.ts'
import type { PadRecord, ListedPad } from '../../src/adapter/pad-history.ts'
import { decodeError, decodeInputEvent, decodeMark, decodeReply } from '../../src/adapter/replies.ts'
import type { BankStates, Identity, InputEvent, Piece } from '../../src/adapter/replies.ts'
import {
  decodeRequest,
  encodeError,
  encodeInputEvent,
  encodeReply,
} from '../reference/adapter/link-device-codec.ts'
import { draws } from '../draws.ts'

const u8 = fc.integer({ min: 0, max: 0xff })
const u16 = fc.integer({ min: 0, max: 0xffff })
const u32 = fc.integer({ min: 0, max: 0xffffffff })
const i32 = fc.integer({ min: -0x80000000, max: 0x7fffffff })
const inOrder = (value: fc.Arbitrary<number>) =>
  fc.tuple(value, value).map(([a, b]) => (a < b ? [a, b] : [b, a]))

const request: fc.Arbitrary<Request> = fc.oneof(
  fc.record({ kind: fc.constant('identify' as const), major: u8, minor: u8 }),
  fc.record({ kind: fc.constant('status' as const) }),
  fc.record({
    kind: fc.constant('write' as const),
    bank: u8,
    total: u16,
    offset: u16,
    bytes: fc.uint8Array({ minLength: 1, maxLength: MAX_CHUNK_BYTES }),
  }),
  fc.record({ kind: fc.constant('commit' as const), bank: u8, length: u16, crc32: u32 }),
  fc.record({ kind: fc.constant('read' as const), bank: u8, offset: u16, count: u8 }),
  fc.record({ kind: fc.constant('select-bank' as const), bank: u8 }),
  fc.record({ kind: fc.constant('monitor' as const), on: fc.boolean() }),
  fc.record({ kind: fc.constant('set-controls' as const), controls: u32 }),
  fc.record({ kind: fc.constant('pad-history' as const) }),
  fc.record({ kind: fc.constant('read-stored' as const), which: u8, offset: u16, count: u8 }),
  fc.record({ kind: fc.constant('forget-pads' as const) }),
)

/** At most 24 bytes of UTF-8 and no zero in it. */
const name = fc
  .string({ unit: 'grapheme', maxLength: 24 })
  .filter(
    (text) =>
      new TextEncoder().encode(text).length <= 24 && !text.includes('\0') && !text.startsWith('\ufeff'),
  )

const identity: fc.Arbitrary<Identity> = fc
  .tuple(
    fc.record({
      protocol: fc.record({ major: u8, minor: u8 }),
      firmware: fc.record({ major: u8, minor: u8, patch: u8 }),
      board: name,
      serialNumber: name,
      largestImageBytes: fc.integer({ min: 1, max: 0xffff }),
      chunkBytes: fc.integer({ min: 1, max: MAX_CHUNK_BYTES }),
      delayStepNs: fc.integer({ min: 0, max: 255 }),
      delayStretch: fc.integer({ min: 0, max: 255 }),
    }),
    inOrder(u32),
    inOrder(i32),
  )
  .map(([rest, reply, idle]) => ({
    ...rest,
    replyMinNs: reply[0] as number,
    replyMaxNs: reply[1] as number,
    idleResetToleranceMinNs: idle[0] as number,
    idleResetToleranceMaxNs: idle[1] as number,
  }))

const content = fc.record({ length: fc.integer({ min: 1, max: 0xffff }), crc32: u32 })

const states: fc.Arbitrary<BankStates> = fc.record({
  active: fc.option(fc.nat(BANK_NUMBERS.length - 1)),
  banks: fc.array(fc.option(content), {
    minLength: BANK_NUMBERS.length,
    maxLength: BANK_NUMBERS.length,
  }),
  trial: fc.record({ content: fc.option(content), state: fc.constantFrom(...TRIAL_STATES) }),
})

const piece: fc.Arbitrary<Piece> = fc.record({
  total: u16,
  bytes: fc.uint8Array({ maxLength: MAX_CHUNK_BYTES }),
})

const event: fc.Arbitrary<InputEvent> = fc.record({
  controls: u32,
  inputs: fc.integer({ min: 0, max: 0xfff }),
  rises: u16,
  select: fc.constantFrom('low', 'high', 'unknown'),
})

const metPad: fc.Arbitrary<PadRecord> = fc.record({
  via: fc.constantFrom('hid', 'vendor', 'unlisted'),
  outcome: fc.constantFrom(...PAD_OUTCOMES, 'unlisted'),
  vendorId: u16,
  productId: u16,
  release: u16,
  descriptorCrc32: u32,
})
const padHistory: fc.Arbitrary<ListedPad[]> = fc.array(
  fc.tuple(metPad, u16).map(([pad, descriptorBytes]) => ({ ...pad, descriptorBytes })),
  { maxLength: HISTORY_MAX_PADS },
)

const KINDS = Object.keys(REQUEST_TYPES) as RequestKind[]

describe('requests', () => {
  test('come back as they were', () => {
    fc.assert(
      fc.property(request, (asked) => {
        const { type, payload } = encodeRequest(asked)
        expect(decodeRequest(type, payload)).toEqual({ ok: true, value: asked })
      }),
    )
  })

  test('of another length are refused', () => {
    fc.assert(
      fc.property(
        request.filter(({ kind }) => kind !== 'write'),
        fc.uint8Array({ minLength: 1, maxLength: 9 }),
        (asked, more) => {
          const { type, payload } = encodeRequest(asked)
          expect(decodeRequest(type, Uint8Array.of(...payload, ...more))).toEqual({
            ok: false,
            error: 'wrong length',
          })
          if (payload.length > 0)
            expect(decodeRequest(type, payload.slice(1))).toEqual({ ok: false, error: 'wrong length' })
        },
      ),
    )
    expect(decodeRequest(REQUEST_TYPES.write, new Uint8Array(5))).toEqual({
      ok: false,
      error: 'wrong length',
    })
  })

  test('of an unknown type are refused', () => {
    expect(decodeRequest(0x3f, new Uint8Array())).toEqual({ ok: false, error: 'unknown message' })
  })
})

describe('replies', () => {
  const roundTrip = <K extends 'identify' | 'status' | 'read' | 'pad-history' | 'read-stored'>(
    kind: K,
    reply: fc.Arbitrary<Parameters<typeof encodeReply<K>>[1]>,
  ) =>
    fc.assert(
      fc.property(reply, fc.uint8Array({ maxLength: 8 }), (said, appended) => {
        const payload = encodeReply(kind, said)
        expect(decodeReply(kind, payload)).toEqual({ ok: true, value: said })
        // A later minor version may append.
        expect(decodeReply(kind, Uint8Array.of(...payload, ...appended))).toEqual({ ok: true, value: said })
        if (kind !== 'status')
          expect(decodeReply(kind, payload.slice(0, -1))).toMatchObject({ ok: false, error: 'wrong length' })
      }),
    )

  test('identify', () => roundTrip('identify', identity))
  test('status', () => roundTrip('status', states))

  test('status of firmware before version 1.2 tells of no trial slot, and a shorter one is refused', () => {
    fc.assert(
      fc.property(states, (said) => {
        const older = encodeReply('status', { ...said, trial: null })
        expect(decodeReply('status', older)).toEqual({ ok: true, value: { ...said, trial: null } })
        expect(decodeReply('status', older.slice(0, -1))).toEqual({ ok: false, error: 'wrong length' })
      }),
    )
  })
  test('read', () => roundTrip('read', piece))
  test('pad-history', () => roundTrip('pad-history', padHistory))
  test('read-stored', () => roundTrip('read-stored', piece))

  test('pad-history with more pads than an adapter keeps is refused', () => {
    const nine = encodeReply(
      'pad-history',
      Array.from({ length: 9 }, () => ({ ...(fc.sample(metPad, 1)[0] as PadRecord), descriptorBytes: 1 })),
    )
    expect(decodeReply('pad-history', nine)).toEqual({ ok: false, error: 'value out of range' })
  })

  test('identify without our mark is nobody', () => {
    const payload = encodeReply('identify', fc.sample(identity, 1)[0] as Identity)
    expect(decodeMark(payload)).not.toBeNull()
    payload[3] = 0
    expect(decodeMark(payload)).toBeNull()
    expect(decodeReply('identify', payload).ok).toBe(false)
    expect(decodeMark(PRODUCT_MARK)).toBeNull()
  })

  test.each([
    ['three banks', 21, 3],
    ['chunks of no bytes', 24, 0],
    ['chunks too large for a frame', 24, MAX_CHUNK_BYTES + 1],
    ['a least reply time above the greatest', 31, 0xff],
  ])('identify with %s is refused', (_, at, value) => {
    const payload = encodeReply('identify', {
      protocol: { major: 1, minor: 0 },
      firmware: { major: 1, minor: 0, patch: 0 },
      board: '',
      serialNumber: '',
      largestImageBytes: 512,
      chunkBytes: 128,
      delayStepNs: 8,
      delayStretch: 1,
      replyMinNs: 0,
      replyMaxNs: 1,
      idleResetToleranceMinNs: 0,
      idleResetToleranceMaxNs: 0,
    })
    payload[at] = value
    expect(decodeReply('identify', payload)).toEqual({ ok: false, error: 'value out of range' })
  })
})

test('errors come back with their names, and unlisted ones with their number', () => {
  for (const error of DEVICE_ERRORS)
    expect(decodeError(encodeError(error, 4))).toMatchObject({
      ok: true,
      value: { name: error, requestType: 4 },
    })
  expect(decodeError(Uint8Array.of(99, 1))).toEqual({
    ok: true,
    value: { code: 99, name: 'unlisted', requestType: 1 },
  })
})

test('input events come back as they were', () => {
  fc.assert(
    fc.property(event, (said) => {
      expect(decodeInputEvent(encodeInputEvent(said))).toEqual({ ok: true, value: said })
    }),
  )
})

test('no decoder ever throws, whatever it is given', () => {
  fc.assert(
    fc.property(u8, fc.uint8Array({ maxLength: 120 }), fc.boolean(), (type, payload, marked) => {
      if (marked) payload.set(PRODUCT_MARK.subarray(0, payload.length))
      decodeRequest(type, payload)
      for (const known of Object.values(REQUEST_TYPES)) decodeRequest(known, payload)
      for (const kind of KINDS) decodeReply(kind, payload)
      decodeMark(payload)
      decodeError(payload)
      decodeInputEvent(payload)
    }),
    { numRuns: draws(10_000) },
  )
})
