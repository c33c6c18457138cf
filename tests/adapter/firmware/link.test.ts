import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { MemoryBankStore } from '../../reference/adapter/bank-store.ts'
import { cobsEncode } from '../../../src/adapter/cobs.ts'
import { PROTOCOL, PAD_OUTCOMES } from '../../../src/adapter/constants.ts'
import { Device } from '../../reference/adapter/device.ts'
import { PadMemoryModel } from '../../reference/adapter/pad-memory.ts'
import { encodeFrame, Splitter } from '../../../src/adapter/frame.ts'
import type { Frame } from '../../../src/adapter/frame.ts'
import type { PadRecord } from '../../../src/adapter/pad-history.ts'
import { encodeRequest, IDENTIFY } from '../../../src/adapter/messages.ts'
import type { Request } from '../../../src/adapter/messages.ts'
import { decodeInputEvent } from '../../../src/adapter/replies.ts'
import type { Identity, InputEvent } from '../../../src/adapter/replies.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { imageCrc } from '../../../src/profile/image-crc.ts'
import { crc32 } from '../../../src/document/crc32.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { loadImage } from '../../reference/profile/run-image.ts'
import { describeWith } from '../../tools.ts'
import { BENCH_IDENTITY } from '../bench-link.ts'
import { Fleet, FleetDevice } from './fleet.ts'
import { arbRunnable } from './input-state-reference.ts'
import { HOST_COMPILER } from './host-program.ts'
import { draws, often } from '../../draws.ts'

const THREE = encodeImage(BUILT_IN_PROFILES['three-button'])
const SIX = encodeImage(BUILT_IN_PROFILES['six-button'])
const IDENTITY: Identity = { ...BENCH_IDENTITY, protocol: PROTOCOL }
const EMPTY = [null, null, null, null]

/** A device's memory of pads, with as much in it as is asked for. */
function padMemoryWith(count: number, seen: boolean): PadMemoryModel {
  const padMemory = new PadMemoryModel()
  for (let k = 0; k < count; k++) {
    const pad = {
      via: k % 2 === 0 ? 'hid' : 'vendor',
      outcome: PAD_OUTCOMES[2 + (k % 4)] ?? 'failed',
      vendorId: 0x1234,
      productId: k,
      release: 0x100 + k,
      descriptorCrc32: 0x89abcdef - k,
    } as const
    padMemory.pad(pad, new Uint8Array(k === 1 ? 0 : k === 2 ? 2048 : 40 * k + 1).fill(k + 1), 0)
  }
  if (seen) {
    padMemory.pad({ ...PAD_OF_EXAMPLES, outcome: 'no layout' }, Uint8Array.of(9), 0)
    for (let k = 0; k < 20; k++) padMemory.report(new Uint8Array(k).fill(k), 10 * k)
    for (let k = 0; k < 20; k++) padMemory.read(k + 1, 20 * k)
    padMemory.tick(7_000, 0x80000001, 0x811)
  }
  return padMemory
}

const PAD_OF_EXAMPLES: PadRecord = {
  via: 'hid',
  outcome: 'served',
  vendorId: 0x1234,
  productId: 1,
  release: 0x0100,
  descriptorCrc32: crc32(Buffer.from('123456789')),
}
/** As link-md.test.ts has it. */
function padMemoryOfExamples(): PadMemoryModel {
  const padMemory = new PadMemoryModel()
  padMemory.pad(PAD_OF_EXAMPLES, Uint8Array.from(Buffer.from('123456789')), 0)
  padMemory.report(Uint8Array.of(1, 0x80), 20)
  padMemory.read(4, 50)
  padMemory.tick(60, 1, 0x11)
  return padMemory
}

describeWith('the link in C', [HOST_COMPILER], () => {
  let fleet: Fleet
  let devices = 0
  beforeAll(() => {
    fleet = new Fleet({ watched: true })
  }, 60_000)
  afterAll(() => fleet.stop())

  const fresh = () => new FleetDevice(fleet, devices++ % 1024)
  const wire = (request: Request, sequence: number) => encodeFrame({ ...encodeRequest(request), sequence })
  const during = async <T>(work: Promise<T>): Promise<T> => {
    await fleet.run([work])
    return work
  }
  /** Frames that a device sends while something is done with it. */
  const hear = (device: FleetDevice) => {
    const frames: Frame[] = []
    const splitter = new Splitter()
    device.listen((bytes) => {
      for (const found of splitter.push(bytes)) {
        if (!found.ok) throw new Error(`the device sent a frame that is ${found.error}`)
        frames.push(found.value)
      }
    })
    return frames
  }
  const codes = (frames: readonly Frame[]) =>
    frames.map(({ type, sequence, payload }) =>
      type === 0xff ? `error ${payload[0]} to ${payload[1]}` : `${type.toString(16)} ${sequence}`,
    )

  describe('the worked examples of LINK.md', () => {
    const page = readFileSync(new URL('../../../src/adapter/LINK.md', import.meta.url), 'utf8')
    const examples = new Map(
      [...page.matchAll(/```bytes (.+)\n([^`]*)```/g)].map(([, name, bytes]) => [
        name,
        Uint8Array.from(Buffer.from((bytes ?? '').replaceAll(/\s/g, ''), 'hex')),
      ]),
    )
    const example = (name: string) => {
      const bytes = examples.get(name)
      if (!bytes) throw new Error(`LINK.md has no example "${name}"`)
      return bytes
    }

    test('are answered to the byte', async () => {
      const device = fresh()
      const banks = [Uint8Array.from(Buffer.from('123456789')), null, null, null]
      device.start({
        identity: { ...IDENTITY, board: 'Bench board', serialNumber: '0001' },
        active: 0,
        banks,
        padMemory: padMemoryOfExamples(),
      })
      const said: Uint8Array[] = []
      device.listen((bytes) => said.push(bytes))
      for (const [request, reply] of [
        ['identify request', 'identify reply'],
        ['status request', 'status reply'],
        ['write request', 'write reply'],
        ['commit request', 'commit refused'],
        ['read request', 'read reply'],
        ['pad-history request', 'pad-history reply'],
        ['read-stored request', 'read-stored reply'],
        ['last seen request', 'last seen reply'],
        ['forget-pads request', 'forget-pads reply'],
      ] as const) {
        await during(device.receive(example(request)))
        expect([request, said.pop()]).toEqual([request, example(reply)])
      }
      await during(device.receive(example('select-bank request')))
      expect((await during(device.state())).active).toBe(0)
      await during(device.receive(example('monitor request')))
      await during(device.receive(example('set-controls request')))
      const state = await during(device.state())
      expect([state.monitoring, state.controls]).toEqual([true, 0x1001])
      expect([state.padHistory, state.seenBytes]).toEqual([0, 0])
    })
  })

  describe('runs of bytes', () => {
    const CRC_BYTES = 4
    /** A frame with a payload as long as may be, or longer. */
    const frameOf = (payloadBytes: number) => {
      const body = new Uint8Array(2 + payloadBytes + CRC_BYTES).fill(0x3f)
      const crcAt = body.length - CRC_BYTES
      new DataView(body.buffer).setUint32(crcAt, crc32(body.subarray(0, crcAt)), true)
      return Uint8Array.of(0, ...cobsEncode(body), 0)
    }
    const answers = async (bytes: Uint8Array) => {
      const device = fresh()
      device.start({ identity: IDENTITY, active: null, banks: EMPTY })
      const frames = hear(device)
      await during(device.receive(bytes))
      const first = codes(frames.splice(0))
      await during(device.receive(wire(IDENTIFY, 0)))
      expect(codes(frames)).toEqual(['81 0'])
      return first
    }

    test('as long as a frame may be are one, and longer ones are dropped up to the next zero', async () => {
      expect(await answers(frameOf(240))).toEqual(['error 1 to 63'])
      for (const bytes of [241, 242, 246, 247]) expect(await answers(frameOf(bytes))).toEqual([])
      for (const bytes of [1, 246, 247, 248, 249, 255, 256, 257, 300, 5_000])
        expect(
          await answers(Uint8Array.from({ length: bytes + 1 }, (_, k) => (k < bytes ? 0x55 : 0))),
        ).toEqual([])
    })

    test('that were not ended are ended by the zero before the next frame, or by the closing of the link', async () => {
      expect(await answers(frameOf(100).subarray(0, 60))).toEqual([])
      const device = fresh()
      device.start({ identity: IDENTITY, active: null, banks: EMPTY })
      const frames = hear(device)
      await during(device.receive(Uint8Array.of(0x55, 0x55)))
      await during(device.linkClosed())
      // Without the zero in front, so that only a device that has dropped the two bytes understands it.
      await during(device.receive(wire(IDENTIFY, 0).subarray(1)))
      expect(codes(frames)).toEqual(['81 0'])
    })
  })

  describe('says what the device in TypeScript says', () => {
    type Act =
      | { readonly kind: 'request'; readonly request: Request; readonly sequence: number }
      | { readonly kind: 'frame'; readonly frame: Frame }
      | { readonly kind: 'bytes'; readonly bytes: Uint8Array }
      | { readonly kind: 'again' | 'closed' }

    const arbImage = fc.oneof(
      { weight: 3, arbitrary: arbRunnable.map((profile) => encodeImage(profile)) },
      { weight: 1, arbitrary: fc.constantFrom(THREE, SIX, THREE.with(20, 0), Uint8Array.of(1, 2, 3)) },
    )
    const arbBank = fc.oneof({ weight: 9, arbitrary: fc.nat(3) }, { weight: 1, arbitrary: fc.nat(255) })
    const arbSequence = fc.nat(255)
    const act = (request: Request, sequence: number): Act => ({ kind: 'request', request, sequence })

    /** A whole flash, from which some steps may be missing and in which an image may change on the way. */
    const arbFlash = fc
      .record({
        bank: fc.nat(3),
        image: arbImage,
        sequence: arbSequence,
        kept: fc.array(fc.nat(15), { minLength: 6, maxLength: 6 }),
        crcOff: fc.nat(9).map((k) => (k === 0 ? 1 : 0)),
      })
      .map(({ bank, image, sequence, kept, crcOff }) => {
        const requests: Request[] = []
        for (let offset = 0; offset < image.length; offset += 128)
          requests.push({
            kind: 'write',
            bank,
            total: image.length,
            offset,
            bytes: image.subarray(offset, offset + 128),
          })
        requests.push({ kind: 'commit', bank, length: image.length, crc32: (imageCrc(image) ^ crcOff) >>> 0 })
        requests.push({ kind: 'read', bank, offset: 0, count: 128 })
        return requests
          .filter((_, k) => kept[k] !== 0)
          .map((request, k) => act(request, (sequence + k) & 0xff))
      })

    const arbRequest: fc.Arbitrary<Request> = fc.oneof(
      fc.constant<Request>(IDENTIFY),
      fc.constant<Request>({ kind: 'status' }),
      fc.record({
        kind: fc.constant('write' as const),
        bank: arbBank,
        total: fc.oneof(fc.integer({ min: 0, max: 600 }), fc.nat(0xffff)),
        offset: fc.oneof(fc.constantFrom(0, 128, 256, 384, 512), fc.nat(0xffff)),
        bytes: fc.oneof(
          fc.uint8Array({ minLength: 1, maxLength: 235 }),
          fc.uint8Array({ minLength: 128, maxLength: 128 }),
        ),
      }),
      fc.record({
        kind: fc.constant('commit' as const),
        bank: arbBank,
        length: fc.constantFrom(0, 1, THREE.length, SIX.length, 0xffff),
        crc32: fc.constantFrom(0, imageCrc(THREE), imageCrc(SIX)),
      }),
      fc.record({
        kind: fc.constant('read' as const),
        bank: arbBank,
        offset: fc.oneof(fc.nat(600), fc.nat(0xffff)),
        count: fc.nat(255),
      }),
      fc.record({ kind: fc.constant('select-bank' as const), bank: arbBank }),
      fc.record({ kind: fc.constant('monitor' as const), on: fc.boolean() }),
      fc.record({ kind: fc.constant('set-controls' as const), controls: fc.nat(0x7fffffff) }),
      fc.constant<Request>({ kind: 'pad-history' }),
      {
        weight: 3,
        arbitrary: fc.record({
          kind: fc.constant('read-stored' as const),
          which: fc.oneof(fc.nat(9), fc.nat(255)),
          offset: fc.oneof(fc.nat(300), fc.nat(2100), fc.nat(0xffff)),
          count: fc.nat(255),
        }),
      },
      fc.constant<Request>({ kind: 'forget-pads' }),
    )

    const arbActs: fc.Arbitrary<Act[]> = fc
      .array(
        fc.oneof(
          { weight: 4, arbitrary: arbFlash },
          {
            weight: 8,
            arbitrary: fc
              .tuple(arbRequest, arbSequence)
              .map(([request, sequence]) => [act(request, sequence)]),
          },
          {
            weight: 1,
            arbitrary: fc
              .record({
                type: fc.nat(255),
                sequence: arbSequence,
                payload: fc.uint8Array({ maxLength: 240 }),
              })
              .map((frame): Act[] => [{ kind: 'frame', frame }]),
          },
          {
            weight: 1,
            arbitrary: fc.uint8Array({ maxLength: 300 }).map((bytes): Act[] => [{ kind: 'bytes', bytes }]),
          },
          { weight: 2, arbitrary: fc.constant<Act[]>([{ kind: 'again' }]) },
          { weight: 1, arbitrary: fc.constant<Act[]>([{ kind: 'closed' }]) },
        ),
        { minLength: 1, maxLength: 12 },
      )
      .map((groups) => [act(IDENTIFY, 0), ...groups.flat()])

    const arbBanks = fc.array(fc.option(fc.constantFrom(THREE, SIX)), { minLength: 4, maxLength: 4 })
    const STATE: InputEvent = { controls: 0x80000001, inputs: 0x811, rises: 0xffff, select: 'high' }

    test(`to ${draws(2_000)} random conversations, byte for byte, and keeps the same`, async () => {
      let commits = 0
      const one = async (
        acts: readonly Act[],
        banks: readonly (Uint8Array | null)[],
        active: number | null,
        padMemory: PadMemoryModel,
      ) => {
        const store = new MemoryBankStore()
        banks.forEach((image, bank) => image && store.commit(bank, image))
        if (active !== null) store.setActive(active)
        let controls = 0
        const model = new Device(IDENTITY, store, {
          accepts: (image) => loadImage(image).ok,
          setControls: (held) => (controls = held),
          activeChanged: () => undefined,
          padMemory,
        })
        let told = false
        /** The model leaves it to others to say when there is something to report; nothing changes here. */
        const event = () => {
          const first = model.monitoring && !told
          told = model.monitoring
          return first ? model.inputEvent(STATE) : new Uint8Array()
        }
        const device = fresh()
        const said: number[] = []
        device.start({ identity: IDENTITY, active, banks, padMemory })
        await device.show(STATE)
        device.listen((bytes) => said.push(...bytes))
        let last = new Uint8Array()
        for (const act of acts) {
          let expected: Uint8Array = new Uint8Array()
          if (act.kind === 'closed') {
            model.linkClosed()
            await device.linkClosed()
          } else {
            const bytes =
              act.kind === 'request'
                ? wire(act.request, act.sequence)
                : act.kind === 'frame'
                  ? encodeFrame(act.frame)
                  : act.kind === 'bytes'
                    ? act.bytes
                    : last
            if (act.kind === 'request') last = Uint8Array.from(bytes)
            expected = model.receive(bytes)
            await device.receive(bytes)
          }
          expect([act.kind, Buffer.from(said.splice(0)).toString('hex')]).toEqual([
            act.kind,
            Buffer.concat([expected, event()]).toString('hex'),
          ])
        }
        const state = await device.state()
        commits += state.beginnings
        expect([state.padHistory, state.seenBytes]).toEqual([
          padMemory.history.length,
          padMemory.lastActivity?.length ?? 0,
        ])
        expect(state.banks).toEqual([0, 1, 2, 3].map((bank) => store.read(bank)))
        expect([state.active, state.controls, state.monitoring]).toEqual([
          store.active,
          controls,
          model.monitoring,
        ])
      }
      await fc.assert(
        fc.asyncProperty(arbActs, arbBanks, fc.nat(10), fc.boolean(), async (acts, banks, pads, seen) => {
          const active = banks.findIndex((image) => image !== null)
          await during(one(acts, banks, active < 0 ? null : active, padMemoryWith(pads, seen)))
        }),
        { numRuns: draws(2_000) },
      )
      expect(commits).toBeGreaterThan(often(500))
    })
  })

  describe('while the memory works', () => {
    const flash = (bank: number, image: Uint8Array): Request[] => [
      { kind: 'write', bank, total: image.length, offset: 0, bytes: image.subarray(0, 128) },
      { kind: 'write', bank, total: image.length, offset: 128, bytes: image.subarray(128) },
      { kind: 'commit', bank, length: image.length, crc32: imageCrc(image) },
    ]
    /** A device with three buttons in banks 1 and 2, six on their way into bank 2, and the commit just sent. */
    const amid = async (workMs: number, fails = false) => {
      const device = fresh()
      device.start({
        identity: IDENTITY,
        active: 0,
        banks: [THREE, THREE, null, null],
        workMs,
        memoryFails: fails,
      })
      const frames = hear(device)
      const image = SIX.length > 128 && SIX.length <= 256 ? SIX : THREE
      let sequence = 0
      for (const request of [IDENTIFY, ...flash(1, image)])
        await during(device.receive(wire(request, sequence++)))
      expect(codes(frames)).toEqual(['81 0', '83 1', '83 2'])
      frames.length = 0
      return { device, frames, image, commit: flash(1, image)[2] as Request }
    }
    const pass = (ms: number) => during(new Promise<void>((resolve) => fleet.after(ms, resolve)))

    test('the answer to a commit comes when it has done so', async () => {
      const { device, frames, image } = await amid(700)
      await pass(699)
      expect(frames).toEqual([])
      expect((await during(device.state())).banks[1]).toEqual(THREE)
      await pass(2)
      expect(codes(frames)).toEqual(['84 3'])
      expect((await during(device.state())).banks[1]).toEqual(image)
    })

    test('the answer to forget-pads comes when it has done so, and says when it could not', async () => {
      for (const fails of [false, true]) {
        const device = fresh()
        const padMemory = padMemoryWith(5, true)
        const banks = [THREE, null, null, null]
        device.start({ identity: IDENTITY, active: 0, banks, workMs: 700, memoryFails: fails, padMemory })
        const frames = hear(device)
        const forget = wire({ kind: 'forget-pads' }, 1)
        const list = wire({ kind: 'pad-history' }, 2)
        for (const bytes of [wire(IDENTIFY, 0), forget, forget, list]) await during(device.receive(bytes))
        await pass(699)
        expect(codes(frames)).toEqual(['81 0'])
        await pass(2)
        const answer = fails ? 'error 11 to 11' : '8b 1'
        expect(codes(frames).slice(0, 2)).toEqual(['81 0', answer])
        expect(frames.at(-1)?.payload[0]).toBe(fails ? 6 : 0)
        expect((await during(device.state())).beginnings).toBe(1)
      }
    })

    test('the same commit again is not done again', async () => {
      const { device, frames, commit } = await amid(700)
      await during(device.receive(wire(commit, 3)))
      await pass(800)
      expect(codes(frames)).toEqual(['84 3', '84 3'])
      expect((await during(device.state())).beginnings).toBe(1)
    })

    test('a commit that is asked for anew finds its work done, and nothing staged any more', async () => {
      const { device, frames, image, commit } = await amid(700)
      await pass(800)
      await during(device.receive(wire(commit, 4)))
      expect((await during(device.state())).beginnings).toBe(1)
      const other: Request = { kind: 'commit', bank: 1, length: image.length, crc32: imageCrc(image) ^ 1 }
      await during(device.receive(wire(other, 5)))
      expect(codes(frames)).toEqual(['84 3', '84 4', 'error 7 to 4'])
    })

    test('everything else waits, and nothing that came is lost', async () => {
      const { device, frames, image } = await amid(700)
      await during(device.receive(wire({ kind: 'status' }, 4)))
      await during(
        device.receive(
          wire({ kind: 'write', bank: 2, total: 3, offset: 0, bytes: Uint8Array.of(7, 7, 7) }, 5),
        ),
      )
      expect(frames).toEqual([])
      await pass(800)
      expect(codes(frames)).toEqual(['84 3', '82 4', '83 5'])
      expect((await during(device.state())).banks).toEqual([THREE, image, null, null])
    })

    test('identify is answered at once, and the commit goes on without an answer', async () => {
      const { device, frames, image } = await amid(700)
      await during(device.receive(wire(IDENTIFY, 0)))
      expect(codes(frames)).toEqual(['81 0'])
      await during(device.receive(wire({ kind: 'status' }, 1)))
      await pass(800)
      expect(codes(frames)).toEqual(['81 0', '82 1'])
      expect((await during(device.state())).banks[1]).toEqual(image)
    })

    test('the link may be closed, and the commit goes on', async () => {
      const { device, frames, image } = await amid(700)
      await during(device.receive(wire({ kind: 'status' }, 4)))
      await during(device.linkClosed())
      await pass(800)
      expect(frames).toEqual([])
      expect((await during(device.state())).banks[1]).toEqual(image)
      await during(device.receive(wire({ kind: 'status' }, 4)))
      expect(codes(frames)).toEqual(['error 3 to 2'])
    })

    test('and fails, the old image is there, and what was staged can be committed again', async () => {
      const { device, frames, image, commit } = await amid(50, true)
      await pass(60)
      expect(codes(frames)).toEqual(['error 11 to 4'])
      expect((await during(device.state())).banks[1]).toEqual(THREE)
      device.memory(0, false)
      await during(device.receive(wire(commit, 4)))
      expect(codes(frames)).toEqual(['error 11 to 4', '84 4'])
      expect((await during(device.state())).banks[1]).toEqual(image)
    })

    test('choosing a bank is answered when it is remembered, and not when that fails', async () => {
      const device = fresh()
      device.start({ identity: IDENTITY, active: 0, banks: [THREE, SIX, null, null], workMs: 20 })
      const frames = hear(device)
      await during(device.receive(wire(IDENTIFY, 0)))
      await during(device.receive(wire({ kind: 'select-bank', bank: 1 }, 1)))
      expect(codes(frames)).toEqual(['81 0'])
      await pass(30)
      expect(codes(frames)).toEqual(['81 0', '86 1'])
      device.memory(20, true)
      await during(device.receive(wire({ kind: 'select-bank', bank: 0 }, 2)))
      await pass(30)
      expect(codes(frames)).toEqual(['81 0', '86 1', 'error 11 to 6'])
      expect((await during(device.state())).active).toBe(1)
    })
  })

  describe('the monitor', () => {
    const state = (rises: number): InputEvent => ({
      controls: rises,
      inputs: rises & 0xfff,
      rises,
      select: 'low',
    })

    test('reports at once, then what has changed, 8 ms late at most, the latest state', async () => {
      const device = fresh()
      device.start({ identity: IDENTITY, active: null, banks: EMPTY })
      const frames = hear(device)
      const told: { readonly atMs: number; readonly rises: number }[] = []
      const note = () => {
        for (const { type, payload } of frames.splice(0)) {
          const event = type === 0xc0 ? decodeInputEvent(payload) : null
          if (event?.ok) told.push({ atMs: fleet.nowMs, rises: event.value.rises })
        }
      }
      await during(device.receive(wire(IDENTIFY, 0)))
      await during(device.receive(wire({ kind: 'monitor', on: true }, 1)))
      note()
      expect(told).toHaveLength(1)
      // The main loop comes round every millisecond; select moves in most of them.
      const changes: { readonly atMs: number; readonly rises: number }[] = []
      for (let ms = 1; ms <= 400; ms++) {
        await during(new Promise<void>((resolve) => fleet.after(1, resolve)))
        if (ms % 50 < 30) changes.push({ atMs: fleet.nowMs, rises: ms })
        await during(device.show(state(changes.at(-1)?.rises ?? 0)))
        note()
      }
      for (const { atMs, rises } of changes) {
        const heard = told.find((event) => event.rises >= rises)
        expect(heard && heard.atMs - atMs).toBeLessThanOrEqual(8)
      }
      expect(told.at(-1)?.rises).toBe(changes.at(-1)?.rises)
      expect(told.length).toBeLessThan(changes.length / 3)
      const all = told.map(({ rises }) => rises)
      expect(new Set(all).size).toBe(all.length)
    })

    test('is silent when it is off, and after the link was closed', async () => {
      const device = fresh()
      device.start({ identity: IDENTITY, active: null, banks: EMPTY })
      const frames = hear(device)
      const show = async (rises: number) => {
        await during(new Promise<void>((resolve) => fleet.after(20, resolve)))
        await during(device.show(state(rises)))
        return codes(frames.splice(0))
      }
      await during(device.receive(wire(IDENTIFY, 0)))
      frames.length = 0
      expect(await show(1)).toEqual([])
      await during(device.receive(wire({ kind: 'monitor', on: true }, 1)))
      expect(codes(frames.splice(0))).toEqual(['87 1', 'c0 0'])
      expect(await show(2)).toEqual(['c0 1'])
      await during(device.receive(wire({ kind: 'monitor', on: false }, 2)))
      expect(codes(frames.splice(0))).toEqual(['87 2'])
      expect(await show(3)).toEqual([])
      await during(device.receive(wire({ kind: 'monitor', on: true }, 3)))
      expect(codes(frames.splice(0))).toEqual(['87 3', 'c0 2'])
      await during(device.linkClosed())
      expect(await show(4)).toEqual([])
    })
  })
})
