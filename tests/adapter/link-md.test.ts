import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { MemoryBankStore } from '../reference/adapter/bank-store.ts'
import {
  ATTEMPTS,
  COMMIT_TIMEOUT_MS,
  IDENTIFY_ATTEMPTS,
  IDENTIFY_TIMEOUT_MS,
  MAX_BODY_BYTES,
  MAX_ENCODED_BYTES,
  MAX_PAYLOAD_BYTES,
  PRODUCT_MARK,
  PROTOCOL,
  REPLY_TIMEOUT_MS,
  DEVICE_ERRORS,
} from '../../src/adapter/constants.ts'
import { Device } from '../reference/adapter/device.ts'
import { PadMemoryModel } from '../reference/adapter/pad-memory.ts'
import type { PadRecord } from '../../src/adapter/pad-history.ts'
import { encodeFrame } from '../../src/adapter/frame.ts'
import { encodeRequest, IDENTIFY } from '../../src/adapter/messages.ts'
import type { Request } from '../../src/adapter/messages.ts'
import type { Identity } from '../../src/adapter/replies.ts'
import { controlMask } from '../../src/pad/controls.ts'
import { maskOf } from '../../src/port/pins.ts'
import { crc32 } from '../../src/document/crc32.ts'
import { imageCrc } from '../../src/profile/image-crc.ts'

/** LINK.md must stay true: its examples are exchanged with the device, figures in its sentences are those of the code. Its tables are written from where the code has its numbers. */
const text = readFileSync(new URL('../../src/adapter/LINK.md', import.meta.url), 'utf8')

const hex = (bytes: Uint8Array) => [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join(' ')

const examples = new Map(
  [...text.matchAll(/```bytes (.+)\n([^`]*)```/g)].map(([, name, bytes]) => [
    name,
    (bytes ?? '').trim().split(/\s+/).join(' '),
  ]),
)

const image = new TextEncoder().encode('123456789')
const identity: Identity = {
  protocol: PROTOCOL,
  firmware: { major: 0, minor: 3, patch: 1 },
  board: 'Bench board',
  serialNumber: '0001',
  largestImageBytes: 2048,
  chunkBytes: 128,
  delayStepNs: 8,
  delayStretch: 1,
  replyMinNs: 150,
  replyMaxNs: 420,
  idleResetToleranceMinNs: -1000,
  idleResetToleranceMaxNs: 2500,
}

const requests: readonly [string, Request, string | null][] = [
  ['identify request', IDENTIFY, 'identify reply'],
  ['status request', { kind: 'status' }, 'status reply'],
  ['write request', { kind: 'write', bank: 2, total: 9, offset: 0, bytes: image }, 'write reply'],
  ['commit request', { kind: 'commit', bank: 2, length: 9, crc32: imageCrc(image) }, 'commit refused'],
  ['read request', { kind: 'read', bank: 0, offset: 0, count: 128 }, 'read reply'],
  ['select-bank request', { kind: 'select-bank', bank: 0 }, null],
  ['monitor request', { kind: 'monitor', on: true }, null],
  ['set-controls request', { kind: 'set-controls', controls: controlMask(['face-south', 'dpad-up']) }, null],
  ['pad-history request', { kind: 'pad-history' }, 'pad-history reply'],
  ['read-stored request', { kind: 'read-stored', which: 1, offset: 0, count: 128 }, 'read-stored reply'],
  ['last seen request', { kind: 'read-stored', which: 0, offset: 0, count: 128 }, 'last seen reply'],
  ['forget-pads request', { kind: 'forget-pads' }, 'forget-pads reply'],
  ['forget-trial request', { kind: 'forget-trial' }, 'forget-trial reply'],
]

describe('the worked examples of LINK.md', () => {
  const made = new Map<string, string>()
  const store = new MemoryBankStore()
  store.commit(0, image)
  store.setActive(0)
  const pad: PadRecord = {
    via: 'hid',
    outcome: 'served',
    vendorId: 0x1234,
    productId: 1,
    release: 0x0100,
    descriptorCrc32: crc32(image),
  }
  const padMemory = new PadMemoryModel()
  padMemory.pad(pad, image, 0)
  padMemory.report(Uint8Array.of(1, 0x80), 20)
  padMemory.read(4, 50)
  padMemory.tick(60, controlMask(['face-south']), maskOf(['up', 'a']))
  const device = new Device(identity, store, {
    accepts: () => false,
    setControls: () => undefined,
    activeChanged: () => undefined,
    padMemory,
  })
  requests.forEach(([name, request, replyName], sequence) => {
    const wire = encodeFrame({ ...encodeRequest(request), sequence })
    const reply = device.receive(wire)
    made.set(name, hex(wire))
    if (replyName) made.set(replyName, hex(reply))
  })
  const event = device.inputEvent({
    controls: controlMask(['face-south', 'dpad-up']),
    inputs: maskOf(['up', 'a']),
    rises: 2,
    select: 'low',
  })
  made.set('input event', hex(event))

  test('are all there, and no others', () => {
    expect([...examples.keys()].sort()).toEqual([...made.keys()].sort())
  })
  for (const [name, bytes] of made) test(name, () => expect(examples.get(name)).toBe(bytes))

  test('the identify request holds nothing that a console takes for the end of a line', () => {
    expect(made.get('identify request')?.split(' ')).not.toContain('0a')
    expect(made.get('identify request')?.split(' ')).not.toContain('0d')
  })
})

describe('the figures in the sentences of LINK.md', () => {
  test.each([
    [`Protocol version ${PROTOCOL.major}.${PROTOCOL.minor}.`],
    [`0 to ${MAX_PAYLOAD_BYTES} bytes`],
    [`are at most ${MAX_BODY_BYTES}.`],
    [`at most ${MAX_ENCODED_BYTES} bytes stand between two zeros`],
    [`more than ${MAX_ENCODED_BYTES} bytes without a zero`],
    [`at most until ${ATTEMPTS} sendings`],
    [`${REPLY_TIMEOUT_MS} ms; for commit, forget-pads and forget-trial ${COMMIT_TIMEOUT_MS} ms`],
    [`For identify: ${IDENTIFY_TIMEOUT_MS} ms, ${IDENTIFY_ATTEMPTS} sendings`],
    [`Codes above ${DEVICE_ERRORS.length} belong to later versions`],
  ])('says: %s', (words) => {
    expect(text.replaceAll(/\s+/g, ' ')).toContain(words)
  })

  test('product mark', () => {
    expect(PRODUCT_MARK.length).toBe(16)
    expect(text).toContain(`\`${new TextDecoder().decode(PRODUCT_MARK.subarray(0, 15))}\``)
    expect(PRODUCT_MARK[15]).toBe(0)
  })
})
