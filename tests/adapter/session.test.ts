import fc from 'fast-check'
import { beforeEach, describe, expect, test } from 'vitest'
import {
  ATTEMPTS,
  BANK_NUMBERS,
  COMMIT_TIMEOUT_MS,
  IDENTIFY_ATTEMPTS,
  IDENTIFY_TIMEOUT_MS,
  REPLY_TIMEOUT_MS,
  REQUEST_TYPES,
} from '../../src/adapter/constants.ts'
import type { FlashProgress } from '../../src/adapter/flash.ts'
import { decodeFrame, encodeFrame, Splitter } from '../../src/adapter/frame.ts'
import { encodeRequest, IDENTIFY } from '../../src/adapter/messages.ts'
import type { Identity } from '../../src/adapter/replies.ts'
import { identify } from '../../src/adapter/session.ts'
import type { Adapter } from '../../src/adapter/session.ts'
import { imageCrc } from '../../src/profile/image-crc.ts'
import { BENCH_IDENTITY, BenchLink } from './bench-link.ts'
import type { BenchConnection, Line } from './bench-link.ts'
import { FakeClock } from './fake-clock.ts'
import { faultyLine } from './faults.ts'
import { encodeReply } from '../reference/adapter/link-device-codec.ts'
import { draws, often } from '../draws.ts'

const OLD = Uint8Array.of(1, 2, 3)
const NEW = Uint8Array.from({ length: 300 }, (_, k) => (k * 7) & 0xff)
const deaf: Line = () => []
const clean: Line = (bytes) => [bytes]

let bench: BenchLink
let clock: FakeClock
let connection: BenchConnection

beforeEach(() => {
  bench = new BenchLink()
  bench.store.commit(0, OLD)
  bench.store.setActive(0)
  clock = new FakeClock()
  connection = bench.open()
})

const meet = async (): Promise<Adapter> => {
  const met = await clock.until(identify(connection, clock))
  if (!met.ok) throw new Error(met.error.kind)
  return met.value
}
const typesSent = () =>
  connection.sent.flatMap((wire) =>
    new Splitter().push(wire).map((found) => (found.ok ? found.value.type : NaN)),
  )

describe('identify', () => {
  test('gives an adapter that says who it is', async () => {
    expect((await meet()).identity).toEqual(BENCH_IDENTITY)
    expect(connection.closes).toBe(0)
  })

  test('of something that is silent: tries, gives up, closes', async () => {
    bench.toDevice = deaf
    expect(await clock.until(identify(connection, clock))).toEqual({ ok: false, error: { kind: 'silent' } })
    expect(connection.sent).toHaveLength(IDENTIFY_ATTEMPTS)
    expect(connection.closes).toBe(1)
  })

  const refusals: readonly [string, Partial<Identity> | null, string][] = [
    ['text', null, 'not-ninepin'],
    ['a newer major version', { protocol: { major: 2, minor: 0 } }, 'protocol-newer'],
    ['an older major version', { protocol: { major: 0, minor: 9 } }, 'protocol-older'],
    ['figures that cannot be', { chunkBytes: 0 }, 'nonsense'],
  ]
  test.each(refusals)(
    'of something that answers %s: nothing else is ever sent',
    async (_, identity, kind) => {
      if (identity) {
        bench = new BenchLink(identity)
        connection = bench.open()
      } else bench.toHost = () => [new TextEncoder().encode('\r\nwhat? type help\r\n> ')]
      expect(await clock.until(identify(connection, clock))).toMatchObject({ ok: false, error: { kind } })
      expect(new Set(typesSent())).toEqual(new Set([REQUEST_TYPES.identify]))
      expect(connection.closes).toBe(1)
    },
  )

  test('of something that speaks our frames and is something else', async () => {
    bench.toHost = () => [encodeFrame({ type: 0x81, sequence: 0, payload: new Uint8Array(92) })]
    expect(await clock.until(identify(connection, clock))).toEqual({
      ok: false,
      error: { kind: 'not-ninepin' },
    })
    expect(connection.closes).toBe(1)
  })

  test('a newer minor version with a longer reply is welcome', async () => {
    const longer = Uint8Array.of(
      ...encodeReply('identify', { ...BENCH_IDENTITY, protocol: { major: 1, minor: 7 } }),
      1,
      2,
      3,
    )
    bench.toHost = () => [encodeFrame({ type: 0x81, sequence: 0, payload: longer })]
    expect((await meet()).identity.protocol.minor).toBe(7)
  })

  test('when it is unplugged in the middle', async () => {
    bench.toDevice = deaf
    const met = identify(connection, clock)
    connection.unplug()
    expect(await clock.until(met)).toEqual({ ok: false, error: { kind: 'unplugged' } })
    expect(connection.closes).toBe(1)
  })

  test('finds an adapter behind garbage', async () => {
    let first = true
    bench.toHost = (bytes) => {
      const pieces = first ? [Uint8Array.of(7, 7, 0, 9, 9, 9), bytes] : [bytes]
      first = false
      return pieces
    }
    expect((await meet()).identity.board).toBe('Bench board')
  })

  test('does not ask again at once because of garbage: a stranger may send nothing else', async () => {
    bench.toHost = () => [Uint8Array.of(0, 7, 7, 0)]
    expect(await clock.until(identify(connection, clock))).toMatchObject({ error: { kind: 'not-ninepin' } })
    expect(clock.nowMs).toBe(IDENTIFY_ATTEMPTS * IDENTIFY_TIMEOUT_MS)
  })

  test('takes no piece without a byte for an answer', async () => {
    bench.toHost = () => [new Uint8Array()]
    expect(await clock.until(identify(connection, clock))).toEqual({ ok: false, error: { kind: 'silent' } })
  })

  test('of something that refuses to say who it is', async () => {
    bench.toHost = () => [
      encodeFrame({ type: 0xff, sequence: 0, payload: Uint8Array.of(1, REQUEST_TYPES.identify) }),
    ]
    expect(await clock.until(identify(connection, clock))).toEqual({
      ok: false,
      error: { kind: 'not-ninepin' },
    })
  })
})

describe('an adapter', () => {
  test('tells what its banks hold', async () => {
    const status = await clock.until((await meet()).status())
    expect(status).toEqual({
      ok: true,
      value: {
        active: 1,
        banks: [
          { bank: 1, content: { length: 3, crc32: imageCrc(OLD) } },
          { bank: 2, content: null },
          { bank: 3, content: null },
          { bank: 4, content: null },
        ],
        trial: { content: null, state: 'empty' },
      },
    })
  })

  test('reads a bank, and an empty one', async () => {
    bench.store.commit(3, NEW)
    const adapter = await meet()
    expect(await clock.until(adapter.readBank(4))).toEqual({ ok: true, value: NEW })
    expect(await clock.until(adapter.readBank(2))).toEqual({ ok: true, value: null })
  })

  test('flashes, reads back and compares', async () => {
    const adapter = await meet()
    const steps: FlashProgress[] = []
    const flashed = await clock.until(adapter.flash(1, NEW, (progress) => steps.push(progress)))
    expect(flashed).toEqual({
      ok: true,
      value: {
        place: 1,
        before: { length: 3, crc32: imageCrc(OLD) },
        written: NEW,
        readBack: NEW,
        comparedBytes: 300,
        crc32: imageCrc(NEW),
      },
    })
    expect(steps.map(({ step, doneBytes }) => `${step} ${doneBytes}`)).toEqual([
      'writing 0',
      'writing 128',
      'writing 256',
      'committing 300',
      'reading back 0',
      'reading back 128',
      'reading back 256',
    ])
    expect(bench.store.read(0)).toEqual(NEW)
    expect(bench.starts).toBe(1)
  })

  test('flashes an image of every length there is', async () => {
    const adapter = await meet()
    for (const length of [1, 127, 128, 129, 256, 512, 2047, 2048]) {
      const image = new Uint8Array(length).fill(length)
      expect(await clock.until(adapter.flash(3, image))).toMatchObject({ ok: true })
      expect(bench.store.read(2)).toEqual(image)
    }
    expect(await clock.until(adapter.flash(3, new Uint8Array(2049)))).toEqual({
      ok: false,
      error: { kind: 'image-too-large', bytes: 2049, largestBytes: 2048 },
    })
    expect(await clock.until(adapter.flash(3, new Uint8Array()))).toEqual({
      ok: false,
      error: { kind: 'image-empty' },
    })
    expect(bench.store.read(2)).toHaveLength(2048)
  })

  test('two flashes at once do not get in each other’s way', async () => {
    const adapter = await meet()
    const both = Promise.all([adapter.flash(2, NEW), adapter.flash(3, OLD), adapter.setControls(1)])
    const [two, three, controls] = await clock.until(both)
    expect([two.ok, three.ok, controls.ok]).toEqual([true, true, true])
    expect([bench.store.read(1), bench.store.read(2)]).toEqual([NEW, OLD])
  })

  test('stops between chunks when told so, and the old content stays', async () => {
    const adapter = await meet()
    for (const stopAt of ['writing 0', 'writing 128', 'writing 256', 'committing 300']) {
      const control = new AbortController()
      const onProgress = ({ step, doneBytes }: FlashProgress) => {
        if (`${step} ${doneBytes}` === stopAt) control.abort()
      }
      const flashed = await clock.until(adapter.flash(1, NEW, onProgress, control.signal))
      // Once the commit is on its way it is no longer stopped.
      if (stopAt === 'committing 300') expect(flashed.ok).toBe(true)
      else {
        expect(flashed).toEqual({ ok: false, error: { kind: 'cancelled', place: 1 } })
        expect(bench.store.read(0)).toEqual(OLD)
      }
    }
  })

  test('tells of the byte that reads back differently', async () => {
    const adapter = await meet()
    const commit = bench.store.commit.bind(bench.store)
    bench.store.commit = (bank, image) => commit(bank, image.with(200, 0xee))
    expect(await clock.until(adapter.flash(2, NEW))).toEqual({
      ok: false,
      error: { kind: 'verify-differs', place: 2, offset: 200 },
    })
  })

  test('tells when a bank does not match its own check value', async () => {
    bench.store.commit(1, NEW)
    const adapter = await meet()
    const read = bench.store.read.bind(bench.store)
    let reads = 0
    bench.store.read = (bank) => (reads++ < BANK_NUMBERS.length ? read(bank) : NEW.with(5, 0xee))
    expect(await clock.until(adapter.readBank(2))).toEqual({
      ok: false,
      error: { kind: 'read-differs', place: 2 },
    })
  })

  test('refuses pieces that make no whole', async () => {
    bench.store.commit(1, NEW)
    const adapter = await meet()
    const read = bench.store.read.bind(bench.store)
    let reads = 0
    bench.store.read = (bank) => (reads++ <= BANK_NUMBERS.length ? read(bank) : NEW.slice(1))
    expect(await clock.until(adapter.readBank(2))).toEqual({
      ok: false,
      error: { kind: 'read-differs', place: 2 },
    })
  })

  test('arms the trial slot, reads it back, tells of it and empties it; no bank is touched', async () => {
    const adapter = await meet()
    expect(await clock.until(adapter.readTrial())).toEqual({ ok: true, value: null })
    expect(await clock.until(adapter.armTrial(NEW))).toMatchObject({
      ok: true,
      value: { place: 'trial', before: null, comparedBytes: NEW.length, crc32: imageCrc(NEW) },
    })
    expect(await clock.until(adapter.readTrial())).toEqual({ ok: true, value: NEW })
    const content = { length: NEW.length, crc32: imageCrc(NEW) }
    expect(await clock.until(adapter.status())).toMatchObject({
      ok: true,
      value: {
        active: 1,
        banks: [{ content: { length: OLD.length } }, { content: null }, { content: null }, { content: null }],
        trial: { content, state: 'armed' },
      },
    })
    expect(await clock.until(adapter.forgetTrial())).toEqual({ ok: true, value: null })
    expect(await clock.until(adapter.readTrial())).toEqual({ ok: true, value: null })
  })

  test('tells when the trial slot reads back differently', async () => {
    const adapter = await meet()
    const arm = bench.store.setTrial.bind(bench.store)
    bench.store.setTrial = (image) => arm(image?.with(200, 0xee) ?? null)
    expect(await clock.until(adapter.armTrial(NEW))).toEqual({
      ok: false,
      error: { kind: 'verify-differs', place: 'trial', offset: 200 },
    })
  })

  test('asks firmware of version 1.1 for no trial slot', async () => {
    bench = new BenchLink({ protocol: { major: 1, minor: 1 } })
    connection = bench.open()
    const adapter = await meet()
    const sent = connection.sent.length
    const older = {
      ok: false,
      error: { kind: 'firmware-older', lacks: 'trial slot', needs: { major: 1, minor: 2 } },
    }
    expect(await clock.until(adapter.armTrial(NEW))).toEqual(older)
    expect(await clock.until(adapter.readTrial())).toEqual(older)
    expect(await clock.until(adapter.forgetTrial())).toEqual(older)
    expect(connection.sent.length).toBe(sent)
  })

  test('goes on when its sequence numbers begin again', async () => {
    const adapter = await meet()
    for (let k = 0; k < 600; k++) expect((await clock.until(adapter.setControls(k))).ok).toBe(true)
    expect(bench.controls).toBe(599)
  })

  test('passes a refusal on and stays connected', async () => {
    const adapter = await meet()
    bench.refused.push(NEW)
    expect(await clock.until(adapter.flash(1, NEW))).toMatchObject({
      ok: false,
      error: { kind: 'device-error', request: 'commit', error: { name: 'not an image' } },
    })
    expect(bench.store.read(0)).toEqual(OLD)
    expect(await clock.until(adapter.setActive(2))).toMatchObject({
      error: { error: { name: 'bank empty' } },
    })
    expect(await clock.until(adapter.setActive(1))).toEqual({ ok: true, value: null })
    expect(connection.closes).toBe(0)
  })

  test('holds controls and lets go of them with the link', async () => {
    const adapter = await meet()
    await clock.until(adapter.setControls(0x80000001))
    expect(bench.controls).toBe(0x80000001)
    await clock.until(adapter.close())
    expect(bench.controls).toBe(0)
  })

  test('reports inputs to every listener until the last has stopped', async () => {
    const adapter = await meet()
    const heard: number[] = []
    const one = await clock.until(adapter.monitor(({ controls }) => heard.push(controls)))
    const two = await clock.until(adapter.monitor(({ controls }) => heard.push(-controls)))
    if (!one.ok || !two.ok) throw new Error('no monitor')
    const event = { controls: 5, inputs: 1, rises: 0, select: 'high' } as const
    connection.deliver(bench.device.inputEvent(event))
    await clock.until(adapter.status())
    await clock.until(one.value())
    connection.deliver(bench.device.inputEvent(event))
    await clock.until(adapter.status())
    expect(heard).toEqual([5, -5, -5])
    expect(bench.device.monitoring).toBe(true)
    await clock.until(two.value())
    await clock.until(two.value())
    expect(bench.device.monitoring).toBe(false)
  })
})

test('an event goes to those who listen when it comes, and to nobody after the end', async () => {
  const adapter = await meet()
  const heard: string[] = []
  const event = { controls: 5, inputs: 1, rises: 0, select: 'high' } as const
  const later: (() => void)[] = []
  const first = await clock.until(
    adapter.monitor(() => {
      heard.push('first')
      later.push(() => void adapter.monitor(() => heard.push('second')))
    }),
  )
  if (!first.ok) throw new Error('no monitor')
  connection.deliver(bench.device.inputEvent(event))
  await clock.until(adapter.status())
  expect(heard).toEqual(['first'])
  later.forEach((add) => add())
  await clock.until(adapter.status())
  connection.deliver(bench.device.inputEvent(event))
  await clock.until(adapter.status())
  expect(heard).toEqual(['first', 'first', 'second'])
  const late = bench.device.inputEvent(event)
  await clock.until(adapter.close())
  connection.deliver(late)
  await clock.until(Promise.resolve())
  expect(late.length).toBeGreaterThan(0)
  expect(heard).toHaveLength(3)
})

describe('what an adapter keeps of pads', () => {
  const PAD = {
    via: 'hid',
    outcome: 'no layout',
    vendorId: 0x1234,
    productId: 1,
    release: 0x100,
    descriptorCrc32: 99,
  } as const

  const fill = () => {
    bench.padMemory.pad({ ...PAD, outcome: 'hub', productId: 2 }, new Uint8Array(), 0)
    bench.padMemory.pad(PAD, NEW, 1_000)
    for (let k = 0; k < 40; k++) bench.padMemory.report(Uint8Array.of(k, 0x80), 1_000 + k)
    for (let k = 0; k < 20; k++) bench.padMemory.read(4, 2_000 + k)
  }

  test('is read piece by piece', async () => {
    fill()
    const adapter = await meet()
    expect(await clock.until(adapter.padHistory())).toEqual({
      ok: true,
      value: [
        { ...PAD, descriptorBytes: 300 },
        { ...PAD, outcome: 'hub', productId: 2, descriptorBytes: 0 },
      ],
    })
    expect(await clock.until(adapter.storedDescriptor(1))).toEqual({ ok: true, value: NEW })
    expect(await clock.until(adapter.storedDescriptor(2))).toEqual({ ok: true, value: null })
    expect(await clock.until(adapter.storedDescriptor(3))).toEqual({ ok: true, value: null })
    const seen = await clock.until(adapter.lastActivity())
    expect(seen).toMatchObject({ ok: true, value: { pad: PAD, reportCount: 40, readCount: 20 } })
    if (!seen.ok || seen.value === null) throw new Error('nothing was seen')
    expect(seen.value.reports.map(({ bytes }) => bytes[0])).toEqual(
      Array.from({ length: 16 }, (_, k) => 24 + k),
    )
  })

  test('is nothing on an adapter that has met no pad, and after it was forgotten', async () => {
    const adapter = await meet()
    const nothing = async () => {
      expect(await clock.until(adapter.padHistory())).toEqual({ ok: true, value: [] })
      expect(await clock.until(adapter.storedDescriptor(1))).toEqual({ ok: true, value: null })
      expect(await clock.until(adapter.lastActivity())).toEqual({ ok: true, value: null })
    }
    await nothing()
    fill()
    expect(await clock.until(adapter.forgetPads())).toEqual({ ok: true, value: null })
    await nothing()
  })

  const older = {
    ok: false,
    error: { kind: 'firmware-older', lacks: 'pad history', needs: { major: 1, minor: 1 } },
  }
  const askAll = async (adapter: Adapter) => [
    await clock.until(adapter.padHistory()),
    await clock.until(adapter.storedDescriptor(1)),
    await clock.until(adapter.lastActivity()),
    await clock.until(adapter.forgetPads()),
  ]

  test('is not asked of firmware that speaks version 1.0, which stays connected', async () => {
    bench = new BenchLink({ protocol: { major: 1, minor: 0 } })
    connection = bench.open()
    const adapter = await meet()
    const sent = connection.sent.length
    expect(await askAll(adapter)).toEqual([older, older, older, older])
    expect(connection.sent.length).toBe(sent)
    expect((await clock.until(adapter.status())).ok).toBe(true)
  })

  test('is told the same where a device does not know the message after all', async () => {
    const adapter = await meet()
    bench.toDevice = (bytes) => {
      const frame = decodeFrame(bytes.subarray(1, -1))
      if (!frame.ok || frame.value.type < 9) return [bytes]
      return [encodeFrame({ ...frame.value, type: 0x3f })]
    }
    bench.toHost = (bytes) => {
      const frame = decodeFrame(bytes.subarray(1, -1))
      if (!frame.ok || frame.value.type !== 0xff) return [bytes]
      const asked = connection.sent.at(-1)?.subarray(1, -1)
      const request = asked && decodeFrame(asked)
      const type = request?.ok ? request.value.type : 0
      return [encodeFrame({ ...frame.value, payload: Uint8Array.of(1, type) })]
    }
    expect(await askAll(adapter)).toEqual([older, older, older, older])
    expect(connection.closes).toBe(0)
  })

  test('is refused where its pieces make no whole, or it is none', async () => {
    fill()
    const adapter = await meet()
    const differs = { ok: false, error: { kind: 'stored-differs' } }
    const met = bench.padMemory.history[0] as { descriptor: Uint8Array }
    let reads = 0
    Object.defineProperty(met, 'descriptor', { get: () => (reads++ < 1 ? NEW : NEW.slice(1)) })
    expect(await clock.until(adapter.storedDescriptor(1))).toEqual(differs)
    for (const seen of [new Uint8Array(36).fill(0xff), new Uint8Array(35), new Uint8Array(5_000)]) {
      Object.defineProperty(bench.padMemory, 'lastActivity', { value: seen, configurable: true })
      expect(await clock.until(adapter.lastActivity())).toEqual(differs)
    }
    // What a later version has appended is not looked at.
    Object.defineProperty(bench.padMemory, 'lastActivity', { value: new Uint8Array(2_000) })
    expect(await clock.until(adapter.lastActivity())).toMatchObject({ ok: true, value: { reportCount: 0 } })
  })

  test('does not throw and does not hang, whatever an adapter answers', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.uint8Array({ maxLength: 140 }), { minLength: 1, maxLength: 6 }),
        async (payloads) => {
          const bench = new BenchLink()
          const clock = new FakeClock()
          const met = await clock.until(identify(bench.open(), clock))
          if (!met.ok) throw new Error(met.error.kind)
          let turn = 0
          bench.toHost = (bytes) => {
            const frame = decodeFrame(bytes.subarray(1, -1))
            if (!frame.ok) return [bytes]
            const { sequence } = frame.value
            const payload = payloads[turn++ % payloads.length] as Uint8Array
            const type = frame.value.type === 0xff ? (frame.value.payload[1] ?? 0) | 0x80 : frame.value.type
            return [encodeFrame({ type, sequence, payload })]
          }
          for (const ask of [() => met.value.padHistory(), () => met.value.storedDescriptor(1)] as const)
            await clock.until(ask() as Promise<unknown>)
          await clock.until(met.value.lastActivity())
        },
      ),
      { numRuns: draws(1_000) },
    )
  })
})

describe('asking again', () => {
  test('after a time-out, with the same frame', async () => {
    const adapter = await meet()
    let lost = 2
    bench.toHost = (bytes) => (lost-- > 0 ? [] : [bytes])
    const before = clock.nowMs
    expect(await clock.until(adapter.status())).toMatchObject({ ok: true })
    expect(clock.nowMs - before).toBe(2 * REPLY_TIMEOUT_MS)
    const [, first, second, third, ...more] = connection.sent
    expect(first).toEqual(second)
    expect(second).toEqual(third)
    expect(more).toEqual([])
  })

  test('at once after a damaged answer', async () => {
    const adapter = await meet()
    let damaged = 1
    bench.toHost = (bytes) => [damaged-- > 0 ? bytes.with(4, 0x77) : bytes]
    const before = clock.nowMs
    expect(await clock.until(adapter.status())).toMatchObject({ ok: true })
    expect(clock.nowMs).toBe(before)
  })

  test('a late answer to an earlier request is no answer to this one', async () => {
    const adapter = await meet()
    const stale = encodeReply('status', { active: 3, banks: [null, null, null, null], trial: null })
    const late = encodeFrame({ type: 0x82, sequence: 0, payload: stale })
    bench.toHost = (bytes) => [late, bytes]
    expect(await clock.until(adapter.status())).toMatchObject({ ok: true, value: { active: 1 } })
  })

  test('a refusal of another request, or a reply to one, is no answer to this one', async () => {
    const adapter = await meet()
    const status = encodeReply('status', { active: 3, banks: [null, null, null, null], trial: null })
    bench.toHost = (bytes) => {
      const frame = decodeFrame(bytes.subarray(1, -1))
      const { type, sequence } = frame.ok ? frame.value : { type: 0, sequence: 0 }
      const refusal = (of: number) => encodeFrame({ type: 0xff, sequence, payload: Uint8Array.of(6, of) })
      if (type === 0x82)
        return [refusal(REQUEST_TYPES.read), encodeFrame({ type: 0x83, sequence, payload: status }), bytes]
      return [bytes]
    }
    expect(await clock.until(adapter.status())).toMatchObject({ ok: true, value: { active: 1 } })
  })

  test('waits longer for what erases and programs flash memory, and only for that', async () => {
    const requests: readonly [keyof typeof REQUEST_TYPES, number, (adapter: Adapter) => Promise<unknown>][] =
      [
        ['forget-pads', COMMIT_TIMEOUT_MS, (adapter) => adapter.forgetPads()],
        ['commit', COMMIT_TIMEOUT_MS, (adapter) => adapter.flash(1, NEW)],
        ['write', REPLY_TIMEOUT_MS, (adapter) => adapter.flash(1, NEW)],
        ['status', REPLY_TIMEOUT_MS, (adapter) => adapter.status()],
        ['pad-history', REPLY_TIMEOUT_MS, (adapter) => adapter.padHistory()],
      ]
    for (const [unanswered, timeoutMs, request] of requests) {
      connection = bench.open()
      const adapter = await meet()
      bench.toDevice = (bytes) => {
        const frame = decodeFrame(bytes.subarray(1, -1))
        return frame.ok && frame.value.type === REQUEST_TYPES[unanswered] ? [] : [bytes]
      }
      const beforeMs = clock.nowMs
      expect(await clock.until(request(adapter))).toMatchObject({ error: { kind: 'stopped-answering' } })
      expect(clock.nowMs - beforeMs).toBe(ATTEMPTS * timeoutMs)
      bench.toDevice = clean
    }
  })

  test('leaves no timer behind an answer', async () => {
    const adapter = await meet()
    await clock.until(adapter.status())
    expect(clock.waiting).toBe(0)
  })

  test('is not needed when many ask at once: each waits its turn', async () => {
    const adapter = await meet()
    const before = clock.nowMs
    const answers = await clock.until(
      Promise.all([adapter.status(), adapter.readBank(1), adapter.setControls(1), adapter.status()]),
    )
    expect(answers.map(({ ok }) => ok)).toEqual([true, true, true, true])
    expect(clock.nowMs).toBe(before)
    expect(new Set(connection.sent.map(String)).size).toBe(connection.sent.length)
  })

  test('ends when nothing comes, closes, and tells everybody why', async () => {
    const adapter = await meet()
    bench.toDevice = deaf
    const sent = connection.sent.length
    const trouble = { kind: 'stopped-answering' }
    expect(await clock.until(adapter.status())).toEqual({ ok: false, error: trouble })
    expect(connection.sent.length - sent).toBe(ATTEMPTS)
    expect(await adapter.ended).toEqual(trouble)
    expect(await clock.until(adapter.setActive(1))).toEqual({ ok: false, error: trouble })
    expect(connection.closes).toBe(1)
  })
})

describe('the end of a link', () => {
  test('by unplugging, in the middle of a flash', async () => {
    const adapter = await meet()
    const flash = adapter.flash(1, NEW, ({ doneBytes }) => {
      if (doneBytes === 256) connection.unplug()
    })
    expect(await clock.until(flash)).toEqual({ ok: false, error: { kind: 'unplugged' } })
    expect(await adapter.ended).toEqual({ kind: 'unplugged' })
    expect(connection.closes).toBe(1)
    expect(bench.store.read(0)).toEqual(OLD)
  })

  test('by a device that has started anew', async () => {
    const adapter = await meet()
    bench.device.linkClosed()
    expect(await clock.until(adapter.status())).toMatchObject({
      error: { error: { name: 'identify first' } },
    })
    expect(connection.closes).toBe(1)
  })

  test('by an answer that cannot be', async () => {
    const adapter = await meet()
    bench.toHost = () => [encodeFrame({ type: 0x82, sequence: 1, payload: Uint8Array.of(9) })]
    expect(await clock.until(adapter.status())).toEqual({
      ok: false,
      error: { kind: 'nonsense', request: 'status' },
    })
    expect(connection.closes).toBe(1)
  })

  test('by our own close, once', async () => {
    const adapter = await meet()
    await adapter.close()
    await adapter.close()
    expect(await adapter.ended).toBeNull()
    expect(await clock.until(adapter.status())).toEqual({ ok: false, error: { kind: 'closed' } })
    expect(connection.closes).toBe(1)
  })
})

describe('over a bad line', () => {
  /** Everything that may come of a link that drops, flips, doubles, cuts and invents bytes. */
  const CLEAR = ['unplugged', 'stopped-answering', 'silent', 'not-ninepin', 'device-error', 'nonsense']

  test('nothing wrong is ever committed, and a good line puts all right', async () => {
    let flashes = 0
    let troubles = 0
    const faults = fc.record({ seed: fc.integer({ min: 1 }), percent: fc.integer({ min: 0, max: 60 }) })
    const image = fc.uint8Array({ minLength: 1, maxLength: 512 })
    await fc.assert(
      fc.asyncProperty(
        faults,
        image,
        fc.constantFrom(...BANK_NUMBERS),
        async ({ seed, percent }, wanted, bank) => {
          const bench = new BenchLink()
          for (const k of [0, 1, 2, 3]) bench.store.commit(k, OLD)
          const clock = new FakeClock()
          bench.toDevice = faultyLine(seed, percent / 100)
          bench.toHost = faultyLine(seed ^ 0x5bd1e995, percent / 100)

          const first = bench.open()
          const met = await clock.until(identify(first, clock))
          const flashed = met.ok ? await clock.until(met.value.flash(bank, wanted)) : met
          if (flashed.ok) {
            flashes++
            expect(flashed.value.readBack).toEqual(wanted)
            expect(bench.store.read(bank - 1)).toEqual(wanted)
          } else {
            troubles++
            expect(CLEAR).toContain(flashed.error.kind)
            expect([OLD, wanted]).toContainEqual(bench.store.read(bank - 1))
          }
          for (const other of BANK_NUMBERS)
            if (other !== bank) expect(bench.store.read(other - 1)).toEqual(OLD)
          if (met.ok) await met.value.close()
          expect(first.closes).toBe(1)

          bench.toDevice = bench.toHost = clean
          const again = await clock.until(identify(bench.open(), clock))
          expect(again.ok && (await clock.until(again.value.flash(bank, wanted))).ok).toBe(true)
          expect(bench.store.read(bank - 1)).toEqual(wanted)
        },
      ),
      { numRuns: draws(3000) },
    )
    // A test in which nothing went wrong, or nothing went right, would say little.
    expect(flashes).toBeGreaterThan(often(300))
    expect(troubles).toBeGreaterThan(often(300))
  })

  test('whatever is received, a stranger is never sent anything but identify', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.uint8Array({ maxLength: 300 }), { maxLength: 4 }), async (said) => {
        const bench = new BenchLink()
        bench.toHost = () => said
        const connection = bench.open()
        const clock = new FakeClock()
        expect((await clock.until(identify(connection, clock))).ok).toBe(false)
        const only = encodeFrame({ ...encodeRequest(IDENTIFY), sequence: 0 })
        for (const sent of connection.sent) expect(sent).toEqual(only)
        expect(connection.closes).toBe(1)
      }),
      { numRuns: draws(1000) },
    )
  })
})
