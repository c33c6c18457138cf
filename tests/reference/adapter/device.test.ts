import fc from 'fast-check'
import { beforeEach, describe, expect, test } from 'vitest'
import { decodeFrame, encodeFrame, Splitter } from '../../../src/adapter/frame.ts'
import { encodeRequest, IDENTIFY } from '../../../src/adapter/messages.ts'
import { ERROR_TYPE, INPUT_EVENT_TYPE, REPLY_BIT } from '../../../src/adapter/constants.ts'
import type { Request } from '../../../src/adapter/messages.ts'
import { decodeError, decodeReply } from '../../../src/adapter/replies.ts'
import { PadMemoryModel } from './pad-memory.ts'
import { imageCrc } from '../../../src/profile/image-crc.ts'
import { BenchLink } from '../../adapter/bench-link.ts'
import { draws } from '../../draws.ts'

const OLD = Uint8Array.of(1, 2, 3)
const NEW = Uint8Array.from({ length: 300 }, (_, k) => k & 0xff)
const STATUS: Request = { kind: 'status' }
const EVENT = { controls: 0, inputs: 0, rises: 0, select: 'unknown' } as const

let bench: BenchLink
let sequence: number

beforeEach(() => {
  bench = new BenchLink()
  bench.store.commit(0, OLD)
  bench.store.setActive(0)
  sequence = 0
})

const send = (request: Request, number = sequence++) => {
  const { type, payload } = encodeRequest(request)
  const answer = new Splitter().push(
    bench.device.receive(encodeFrame({ type, sequence: number, payload })),
  )[0]
  if (!answer?.ok) throw new Error('no answer')
  return answer.value
}
/** The name of the refusal, or "done". */
const outcome = (request: Request, number?: number): string => {
  const { type, payload } = send(request, number)
  if (type !== ERROR_TYPE) return 'done'
  const error = decodeError(payload)
  return error.ok ? error.value.name : 'nonsense'
}
const chunk = (offset: number, image = NEW, bank = 1): Request => ({
  kind: 'write',
  bank,
  total: image.length,
  offset,
  bytes: image.subarray(offset, offset + 128),
})
const commit = (image = NEW, bank = 1): Request => ({
  kind: 'commit',
  bank,
  length: image.length,
  crc32: imageCrc(image),
})

describe('before it was asked who it is', () => {
  test.each([STATUS, chunk(0), commit(), { kind: 'set-controls', controls: 5 }] as Request[])(
    'refuses $kind',
    (request) => {
      expect(outcome(request)).toBe('identify first')
      expect(bench.controls).toBe(0)
    },
  )

  test('refuses again after the link closed', () => {
    send(IDENTIFY)
    expect(outcome(STATUS)).toBe('done')
    bench.device.linkClosed()
    expect(outcome(STATUS)).toBe('identify first')
  })
})

describe('after it identified itself', () => {
  beforeEach(() => void send(IDENTIFY))

  test('keeps the old content until the commit, then has the new', () => {
    for (const offset of [0, 128, 256]) expect(outcome(chunk(offset, NEW, 0))).toBe('done')
    expect(bench.store.read(0)).toEqual(OLD)
    expect(outcome(commit(NEW, 0))).toBe('done')
    expect(bench.store.read(0)).toEqual(NEW)
    expect(bench.starts).toBe(1)
  })

  test('takes chunks in any order, any number of times', () => {
    const offsets = fc.shuffledSubarray([0, 0, 0, 128, 128, 256, 256, 256], { minLength: 8, maxLength: 8 })
    fc.assert(
      fc.property(offsets, (order) => {
        bench.store.commit(1, OLD)
        for (const offset of order) expect(outcome(chunk(offset))).toBe('done')
        expect(outcome(commit())).toBe('done')
        expect(bench.store.read(1)).toEqual(NEW)
      }),
    )
  })

  test('commits again what it has committed', () => {
    for (const offset of [0, 128, 256]) send(chunk(offset))
    expect(outcome(commit())).toBe('done')
    expect(outcome(commit())).toBe('done')
    expect(outcome(commit(OLD))).toBe('incomplete')
  })

  test('refuses a commit while a chunk is missing', () => {
    send(chunk(0))
    send(chunk(256))
    expect(outcome(commit())).toBe('incomplete')
    expect(bench.store.read(1)).toBeNull()
  })

  test('begins afresh with another length or another bank', () => {
    send(chunk(0))
    send(chunk(128))
    send(chunk(0, OLD))
    send(chunk(256))
    expect(outcome(commit())).toBe('incomplete')
    send(chunk(0))
    send(chunk(128))
    send(chunk(256, NEW, 2))
    expect(outcome(commit())).toBe('incomplete')
    expect(outcome(commit(NEW, 2))).toBe('incomplete')
  })

  test('refuses a commit whose checksum differs', () => {
    for (const offset of [0, 128, 256]) send(chunk(offset))
    expect(outcome({ kind: 'commit', bank: 1, length: NEW.length, crc32: 1 })).toBe('checksum differs')
    expect(bench.store.read(1)).toBeNull()
  })

  test('refuses a commit of what it cannot run', () => {
    bench.refused.push(NEW)
    for (const offset of [0, 128, 256]) send(chunk(offset, NEW, 0))
    expect(outcome(commit(NEW, 0))).toBe('not an image')
    expect(bench.store.read(0)).toEqual(OLD)
  })

  test('says so when the memory fails, and the old content stays', () => {
    bench.store.commit = () => false
    for (const offset of [0, 128, 256]) send(chunk(offset, NEW, 0))
    expect(outcome(commit(NEW, 0))).toBe('memory failed')
    expect(bench.store.read(0)).toEqual(OLD)
  })

  test.each<[string, Request, string]>([
    ['a bank it has not', chunk(0, NEW, 5), 'no such bank'],
    ['to make the trial slot the active bank', { kind: 'select-bank', bank: 4 }, 'no such bank'],
    [
      'an image that is too long',
      { kind: 'write', bank: 0, total: 2049, offset: 0, bytes: OLD },
      'image too large',
    ],
    ['an image of no bytes', { kind: 'write', bank: 0, total: 0, offset: 0, bytes: OLD }, 'out of range'],
    [
      'a chunk off its place',
      { kind: 'write', bank: 0, total: 300, offset: 1, bytes: NEW.subarray(1, 129) },
      'out of range',
    ],
    ['a chunk too short', { kind: 'write', bank: 0, total: 300, offset: 0, bytes: OLD }, 'out of range'],
    ['a chunk past the end', { kind: 'write', bank: 0, total: 128, offset: 128, bytes: OLD }, 'out of range'],
    ['to read an empty bank', { kind: 'read', bank: 3, offset: 0, count: 9 }, 'bank empty'],
    ['to read past the end', { kind: 'read', bank: 0, offset: 3, count: 9 }, 'out of range'],
    ['to read nothing', { kind: 'read', bank: 0, offset: 0, count: 0 }, 'out of range'],
    ['to read more than a chunk', { kind: 'read', bank: 0, offset: 0, count: 129 }, 'out of range'],
    ['to make an empty bank active', { kind: 'select-bank', bank: 2 }, 'bank empty'],
  ])('refuses %s', (_, request, name) => {
    expect(outcome(request)).toBe(name)
    expect(bench.store.active).toBe(0)
  })

  test('refuses an unknown message and a wrong length by name', () => {
    const raw = (type: number, payload: Uint8Array) => {
      const wire = bench.device.receive(encodeFrame({ type, sequence: 77, payload }))
      const frame = decodeFrame(wire.slice(1, -1))
      return frame.ok && frame.value.type === ERROR_TYPE ? decodeError(frame.value.payload) : null
    }
    expect(raw(0x30, new Uint8Array())).toMatchObject({
      value: { name: 'unknown message', requestType: 0x30 },
    })
    expect(raw(0x02, Uint8Array.of(1))).toMatchObject({ value: { name: 'wrong length', requestType: 2 } })
  })

  test('answers a repeated request from memory', () => {
    const first = send(STATUS, 9)
    bench.store.commit(3, NEW)
    expect(send(STATUS, 9)).toEqual(first)
    expect(send(STATUS, 10)).not.toEqual({ ...first, sequence: 10 })
  })

  test('does nothing twice', () => {
    send({ kind: 'set-controls', controls: 3 }, 9)
    bench.controls = 0
    send({ kind: 'set-controls', controls: 3 }, 9)
    expect(bench.controls).toBe(0)
    send({ kind: 'set-controls', controls: 3 }, 10)
    expect(bench.controls).toBe(3)
  })

  test('reads a bank in pieces', () => {
    bench.store.commit(2, NEW)
    const { payload } = send({ kind: 'read', bank: 2, offset: 256, count: 128 })
    expect(decodeReply('read', payload)).toEqual({ ok: true, value: { total: 300, bytes: NEW.slice(256) } })
  })

  test('hands over what it keeps of pads, in pieces, and forgets it', () => {
    const pad = {
      via: 'hid',
      outcome: 'no layout',
      vendorId: 0x1234,
      productId: 5,
      release: 0x100,
      descriptorCrc32: 7,
    } as const
    const kept = (which: number, offset: number, count: number): Request => ({
      kind: 'read-stored',
      which,
      offset,
      count,
    })
    const list = () => decodeReply('pad-history', send({ kind: 'pad-history' }).payload)
    expect(list()).toEqual({ ok: true, value: [] })
    expect([0, 1, 8, 255].map((which) => outcome(kept(which, 0, 1)))).toEqual(
      Array.from({ length: 4 }, () => 'nothing stored'),
    )
    const hub = { ...pad, productId: 6, outcome: 'hub' } as const
    bench.padMemory.pad(hub, new Uint8Array(), 0)
    bench.padMemory.pad(pad, NEW, 0)
    bench.padMemory.report(Uint8Array.of(1, 2, 3), 9)
    expect(list()).toEqual({
      ok: true,
      value: [
        { ...pad, descriptorBytes: NEW.length },
        { ...hub, descriptorBytes: 0 },
      ],
    })
    expect(decodeReply('read-stored', send(kept(1, 256, 128)).payload)).toEqual({
      ok: true,
      value: { total: 300, bytes: NEW.slice(256) },
    })
    expect(outcome(kept(2, 0, 1))).toBe('nothing stored')
    expect([kept(1, 300, 1), kept(1, 0, 0), kept(1, 0, 129)].map((request) => outcome(request))).toEqual(
      Array.from({ length: 3 }, () => 'out of range'),
    )
    expect(outcome(kept(0, 0, 128))).toBe('done')
    bench.padMemory.forget = () => false
    expect(outcome({ kind: 'forget-pads' })).toBe('memory failed')
    bench.padMemory.forget = () => PadMemoryModel.prototype.forget.call(bench.padMemory)
    expect(outcome({ kind: 'forget-pads' })).toBe('done')
    expect(list()).toEqual({ ok: true, value: [] })
    expect(outcome(kept(0, 0, 128))).toBe('nothing stored')
  })

  test('reports inputs only while the monitor is on', () => {
    expect(bench.device.inputEvent(EVENT)).toHaveLength(0)
    send({ kind: 'monitor', on: true })
    const [first, second] = new Splitter().push(
      Uint8Array.of(...bench.device.inputEvent(EVENT), ...bench.device.inputEvent(EVENT)),
    )
    expect(first).toMatchObject({ value: { type: INPUT_EVENT_TYPE, sequence: 0 } })
    expect(second).toMatchObject({ value: { type: INPUT_EVENT_TYPE, sequence: 1 } })
    send({ kind: 'monitor', on: false })
    expect(bench.device.inputEvent(EVENT)).toHaveLength(0)
  })

  test('a new host finds nothing of the last one', () => {
    send({ kind: 'monitor', on: true })
    send({ kind: 'set-controls', controls: 3 })
    for (const offset of [0, 128, 256]) send(chunk(offset))
    send(IDENTIFY, 0)
    expect(bench.controls).toBe(0)
    expect(bench.device.inputEvent(EVENT)).toHaveLength(0)
    expect(outcome(commit())).toBe('incomplete')
  })
})

test('is silent about what is damaged', () => {
  const wire = encodeFrame({ ...encodeRequest(IDENTIFY), sequence: 0 })
  wire[3] = 0x55
  expect(bench.device.receive(wire)).toHaveLength(0)
})

test('never throws, and never changes a bank but by a commit that fits', () => {
  send(IDENTIFY)
  const byte = fc.integer({ min: 0, max: 255 })
  fc.assert(
    fc.property(
      fc.integer({ min: 2, max: 20 }),
      byte,
      fc.uint8Array({ maxLength: 140 }),
      (type, sequence, payload) => {
        bench.device.receive(payload)
        const reply = bench.device.receive(encodeFrame({ type, sequence, payload }))
        const frame = decodeFrame(reply.slice(1, -1))
        expect(frame.ok && [type | REPLY_BIT, ERROR_TYPE].includes(frame.value.type)).toBe(true)
        expect(bench.store.read(0)).toEqual(OLD)
      },
    ),
    { numRuns: draws(10_000) },
  )
})
