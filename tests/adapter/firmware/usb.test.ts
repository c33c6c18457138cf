import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { describeWith } from '../../tools.ts'
import { HOST_COMPILER, HostProgram, Message, Reader } from './host-program.ts'
import { draws } from '../../draws.ts'

/*
 * Endpoint 0 against the tables of the standards: Universal Serial Bus Specification 2.0 chapter 9, USB Class Definitions for
 * Communications Devices (CDC) 1.2, and its PSTN subclass 1.2. Numbers beside the checks are sections and tables of these.
 */

interface Setup {
  readonly type: number
  readonly request: number
  readonly value?: number
  readonly index?: number
  readonly length?: number
  /** Bytes of the data stage, where the request takes some. */
  readonly data?: readonly number[]
}

const STAGES = ['refused', 'gives', 'takes', 'done'] as const
interface Answer {
  readonly stage: (typeof STAGES)[number]
  readonly address: number
  readonly configuration: number
  readonly halted: number
  readonly terminalReady: boolean
  readonly bytes: readonly number[]
  readonly taken: boolean | null
}

// bmRequestType (9.3, table 9-2)
const IN = 0x80
const CLASS = 0x20
const INTERFACE = 1
const ENDPOINT = 2
const VENDOR = 0x40

// bRequest (9.4, table 9-4)
const GET_STATUS = 0
const CLEAR_FEATURE = 1
const SET_FEATURE = 3
const SET_ADDRESS = 5
const GET_DESCRIPTOR = 6
const SET_DESCRIPTOR = 7
const GET_CONFIGURATION = 8
const SET_CONFIGURATION = 9
const GET_INTERFACE = 10
const SET_INTERFACE = 11
const SYNCH_FRAME = 12

// Descriptor types (9.4, table 9-5; CDC table 12)
const DEVICE = 1
const CONFIGURATION = 2
const STRING = 3
const INTERFACE_DESCRIPTOR = 4
const ENDPOINT_DESCRIPTOR = 5
const DEVICE_QUALIFIER = 6
const OTHER_SPEED = 7
const CS_INTERFACE = 0x24

// PSTN table 13
const SET_LINE_CODING = 0x20
const GET_LINE_CODING = 0x21
const SET_CONTROL_LINE_STATE = 0x22
const SEND_BREAK = 0x23

const CONFIGURE: Setup = { type: 0, request: SET_CONFIGURATION, value: 1 }
const descriptor = (kind: number, index = 0, length = 255): Setup => ({
  type: IN,
  request: GET_DESCRIPTOR,
  value: (kind << 8) | index,
  length,
})

let host: HostProgram

/** The answers of a device that was just reset to requests one after another. */
async function ask(...setups: readonly Setup[]): Promise<Answer[]> {
  const question = new Message()
  for (const { type, request, value = 0, index = 0, length = 0, data } of setups) {
    question.u8(type).u8(request).u16(value).u16(index).u16(length)
    if (data) question.u8(data.length).bytes(Uint8Array.from(data))
  }
  const reader = new Reader(await host.ask(question.done()))
  return setups.map((): Answer => {
    const stage = STAGES[reader.u8()]
    if (stage === undefined) throw new Error('no such stage')
    reader.u8()
    const [address, configuration, halted] = [reader.u8(), reader.u8(), reader.u8()]
    const terminalReady = reader.u8() !== 0
    const bytes = [...reader.counted()]
    const taken = stage === 'takes' ? reader.u8() !== 0 : null
    return { stage, address, configuration, halted, terminalReady, bytes, taken }
  })
}
const askLast = async (...setups: readonly Setup[]): Promise<Answer> =>
  (await ask(...setups)).at(-1) as Answer
const bytesOf = async (...setups: readonly Setup[]) => (await askLast(...setups)).bytes
const u16 = (bytes: readonly number[], at: number) => (bytes[at] ?? 0) | ((bytes[at + 1] ?? 0) << 8)

describeWith('endpoint 0 in C', [HOST_COMPILER], () => {
  beforeAll(() => {
    host = HostProgram.start('usb-host.c', ['usb-control.c', 'usb-descriptors.c'])
  })
  afterAll(() => host.stop())

  describe('descriptors', () => {
    test('of the device: table 9-8', async () => {
      const device = await bytesOf(descriptor(DEVICE))
      expect(device.slice(0, 2)).toEqual([18, DEVICE])
      expect(device).toHaveLength(18)
      expect(u16(device, 2)).toBe(0x0200)
      // CDC tables 2 and 8: a communications device says so at the device level; subclass and protocol are zero there.
      expect(device.slice(4, 7)).toEqual([0x02, 0, 0])
      // 9.6.1: 8, 16, 32 or 64.
      expect(device[7]).toBe(64)
      // pid.codes: vendor 1209, product 0001 is its first test number.
      expect([u16(device, 8), u16(device, 10)]).toEqual([0x1209, 0x0001])
      expect(device.slice(14, 18)).toEqual([1, 2, 3, 1])
    })

    /** The parts of a configuration: length, type, content. */
    const parts = async () => {
      const all = await bytesOf(descriptor(CONFIGURATION, 0))
      const found: number[][] = []
      for (let at = 0; at < all.length; at += all[at] as number) {
        expect(all[at]).toBeGreaterThanOrEqual(2)
        found.push(all.slice(at, at + (all[at] as number)))
      }
      expect(found.flat()).toEqual(all)
      return { all, found }
    }

    test('of the configuration: table 9-10', async () => {
      const { all, found } = await parts()
      const head = found[0] ?? []
      expect(head.slice(0, 2)).toEqual([9, CONFIGURATION])
      expect(u16(head, 2)).toBe(all.length)
      expect(head[4]).toBe(found.filter(([, type]) => type === INTERFACE_DESCRIPTOR).length)
      expect(head[5]).toBe(1)
      // Bit 7 is one, 6 self-powered, 5 remote wake-up, 4 to 0 zero.
      expect(head[7]).toBe(0x80)
      // 7.2.1: 100 mA is what any port gives.
      expect((head[8] ?? 0) * 2).toBeLessThanOrEqual(100)
    })

    test('of the interfaces and endpoints: tables 9-12 and 9-13', async () => {
      const { found } = await parts()
      const order = found.slice(1).map(([, type]) => type)
      expect(order).toEqual([
        INTERFACE_DESCRIPTOR,
        ...[CS_INTERFACE, CS_INTERFACE, CS_INTERFACE, CS_INTERFACE],
        ENDPOINT_DESCRIPTOR,
        INTERFACE_DESCRIPTOR,
        ENDPOINT_DESCRIPTOR,
        ENDPOINT_DESCRIPTOR,
      ])
      const interfaces = found.filter(([, type]) => type === INTERFACE_DESCRIPTOR)
      // CDC 4.2 to 4.7, tables 3 to 7: communications class, abstract control model, no protocol; data class.
      expect(interfaces).toEqual([
        [9, INTERFACE_DESCRIPTOR, 0, 0, 1, 0x02, 0x02, 0x00, 0],
        [9, INTERFACE_DESCRIPTOR, 1, 0, 2, 0x0a, 0x00, 0x00, 0],
      ])
      const endpoints = found.filter(([, type]) => type === ENDPOINT_DESCRIPTOR)
      expect(endpoints.every((endpoint) => endpoint.length === 7)).toBe(true)
      const [notice, dataOut, dataIn] = endpoints as [number[], number[], number[]]
      // Interrupt in (5.7.3: 64 bytes at most), bulk out and bulk in (5.8.3: 8, 16, 32 or 64 at full speed).
      expect([notice[2], notice[3]]).toEqual([0x81, 3])
      expect(u16(notice, 4)).toBeLessThanOrEqual(64)
      expect(notice[6]).toBeGreaterThan(0)
      expect([dataOut[2], dataOut[3], u16(dataOut, 4)]).toEqual([0x02, 2, 64])
      expect([dataIn[2], dataIn[3], u16(dataIn, 4)]).toEqual([0x82, 2, 64])
    })

    test('of the functions: CDC tables 15 and 16, PSTN tables 3 and 4', async () => {
      const { found } = await parts()
      const functions = found.filter(([, type]) => type === CS_INTERFACE)
      expect(functions).toEqual([
        // Header (5.2.3.1): release 1.20.
        [5, CS_INTERFACE, 0x00, 0x20, 0x01],
        // Call management (PSTN 5.3.1): none; data interface 1.
        [5, CS_INTERFACE, 0x01, 0x00, 1],
        // Abstract control (PSTN 5.3.2): bit 1, line coding, control line state and Serial_State, which never changes here; no break.
        [4, CS_INTERFACE, 0x02, 0x02],
        // Union (5.2.3.2): interface 0 controls interface 1.
        [5, CS_INTERFACE, 0x06, 0, 1],
      ])
    })

    test('of strings: tables 9-15 and 9-16', async () => {
      expect(await bytesOf(descriptor(STRING, 0))).toEqual([4, STRING, 0x09, 0x04])
      const texts: string[] = []
      for (const index of [1, 2, 3]) {
        const bytes = await bytesOf(descriptor(STRING, index))
        expect([bytes[0], bytes[1]]).toEqual([bytes.length, STRING])
        texts.push(new TextDecoder('utf-16le').decode(Uint8Array.from(bytes.slice(2))))
      }
      expect(texts).toEqual(['Ninepin', 'Ninepin adapter', 'E0C9125B0D9B2B1F'])
    })

    test('are cut to what was asked for (9.4.3), and not there for what a full-speed device has none of (9.6.2)', async () => {
      const whole = await bytesOf(descriptor(DEVICE))
      for (const length of [1, 8, 17, 18, 19, 0xffff])
        expect(await bytesOf(descriptor(DEVICE, 0, length))).toEqual(whole.slice(0, length))
      const absent = [
        [DEVICE_QUALIFIER],
        [OTHER_SPEED],
        [CONFIGURATION, 1],
        [STRING, 4],
        [STRING, 0xee],
        [0x0f],
        [0],
      ]
      for (const [kind = 0, index = 0] of absent)
        expect((await askLast(descriptor(kind, index))).stage).toBe('refused')
    })
  })

  describe('standard requests (9.4)', () => {
    test('the address is taken, and one above 127 is none (9.4.6)', async () => {
      expect(await askLast({ type: 0, request: SET_ADDRESS, value: 127 })).toMatchObject({
        stage: 'done',
        address: 127,
      })
      expect(await askLast({ type: 0, request: SET_ADDRESS, value: 128 })).toMatchObject({
        stage: 'refused',
        address: 0,
      })
    })

    test('there is configuration 1, and 0 for none (9.4.2, 9.4.7)', async () => {
      const get: Setup = { type: IN, request: GET_CONFIGURATION, length: 1 }
      const set = (value: number): Setup => ({ type: 0, request: SET_CONFIGURATION, value })
      const answers = await ask(get, set(1), get, set(2), get, set(0), get)
      expect(answers.map(({ stage, bytes }) => [stage, ...bytes])).toEqual([
        ['gives', 0],
        ['done'],
        ['gives', 1],
        ['refused'],
        ['gives', 1],
        ['done'],
        ['gives', 0],
      ])
    })

    test('status of device, interface and endpoint (9.4.5)', async () => {
      const status = (recipient: number, index: number): Setup => ({
        type: IN | recipient,
        request: GET_STATUS,
        index,
        length: 2,
      })
      expect(await bytesOf(status(0, 0))).toEqual([0, 0])
      // In the address state only the device, and endpoint 0, have one.
      for (const setup of [status(INTERFACE, 0), status(ENDPOINT, 0x82)])
        expect((await askLast(setup)).stage).toBe('refused')
      expect(await bytesOf(status(ENDPOINT, 0))).toEqual([0, 0])
      for (const setup of [
        status(INTERFACE, 0),
        status(INTERFACE, 1),
        status(ENDPOINT, 0x81),
        status(ENDPOINT, 0x02),
      ])
        expect(await bytesOf(CONFIGURE, setup)).toEqual([0, 0])
      for (const setup of [
        status(INTERFACE, 2),
        status(ENDPOINT, 0x01),
        status(ENDPOINT, 0x83),
        status(ENDPOINT, 0x102),
      ])
        expect((await askLast(CONFIGURE, setup)).stage).toBe('refused')
    })

    test('halt of an endpoint, set and cleared (9.4.1, 9.4.9)', async () => {
      const halt = (index: number): Setup => ({ type: ENDPOINT, request: SET_FEATURE, index })
      const clear = (index: number): Setup => ({ type: ENDPOINT, request: CLEAR_FEATURE, index })
      const status = (index: number): Setup => ({
        type: IN | ENDPOINT,
        request: GET_STATUS,
        index,
        length: 2,
      })
      for (const endpoint of [0x81, 0x02, 0x82]) {
        const answers = await ask(
          CONFIGURE,
          halt(endpoint),
          status(endpoint),
          clear(endpoint),
          status(endpoint),
        )
        expect(answers.map(({ bytes }) => bytes)).toEqual([[], [], [1, 0], [], [0, 0]])
      }
      expect(await bytesOf(CONFIGURE, halt(0x82), status(0x02))).toEqual([0, 0])
      // A configuration lets every endpoint go (9.1.1.5).
      expect(await bytesOf(CONFIGURE, halt(0x82), CONFIGURE, status(0x82))).toEqual([0, 0])
      for (const setup of [halt(0x02), clear(0x82)]) expect((await askLast(setup)).stage).toBe('refused')
      for (const setup of [halt(0x03), clear(0x85), { ...halt(0x82), value: 1 }])
        expect((await askLast(CONFIGURE, setup)).stage).toBe('refused')
    })

    test('each interface has one setting (9.4.4, 9.4.10)', async () => {
      const get = (index: number): Setup => ({
        type: IN | INTERFACE,
        request: GET_INTERFACE,
        index,
        length: 1,
      })
      const set = (index: number, value: number): Setup => ({
        type: INTERFACE,
        request: SET_INTERFACE,
        index,
        value,
      })
      expect((await askLast(get(0))).stage).toBe('refused')
      for (const index of [0, 1]) {
        expect(await bytesOf(CONFIGURE, get(index))).toEqual([0])
        expect((await askLast(CONFIGURE, set(index, 0))).stage).toBe('done')
        expect((await askLast(CONFIGURE, set(index, 1))).stage).toBe('refused')
      }
      expect((await askLast(CONFIGURE, get(2))).stage).toBe('refused')
    })

    test('what there is no need for is refused: descriptors to set, frames to follow, features of the device', async () => {
      for (const setup of [
        { type: 0, request: SET_DESCRIPTOR, value: DEVICE << 8, length: 18 },
        { type: IN | ENDPOINT, request: SYNCH_FRAME, index: 0x82, length: 2 },
        { type: 0, request: SET_FEATURE, value: 1 },
        { type: 0, request: CLEAR_FEATURE, value: 1 },
        { type: 0, request: SET_FEATURE, value: 2 },
        { type: IN | VENDOR, request: 1, length: 8 },
        { type: 0, request: GET_DESCRIPTOR, value: DEVICE << 8, length: 18 },
      ])
        expect([setup, (await askLast(CONFIGURE, setup)).stage]).toEqual([setup, 'refused'])
    })

    test('without a data stage there is only the status stage, whatever the direction says (9.3.1)', async () => {
      expect(await askLast(descriptor(DEVICE, 0, 0))).toMatchObject({ stage: 'done', bytes: [] })
    })
  })

  describe('requests of a serial port (PSTN 6.3)', () => {
    const get: Setup = { type: IN | CLASS | INTERFACE, request: GET_LINE_CODING, length: 7 }
    const set = (data: readonly number[]): Setup => ({
      type: CLASS | INTERFACE,
      request: SET_LINE_CODING,
      length: data.length,
      data,
    })
    const lines = (value: number): Setup => ({
      type: CLASS | INTERFACE,
      request: SET_CONTROL_LINE_STATE,
      value,
    })

    test('line coding is kept and told (table 17): 115200 baud, 8 data bits, no parity, 1 stop bit at first', async () => {
      const first = await bytesOf(CONFIGURE, get)
      const rate = new DataView(Uint8Array.from(first).buffer).getUint32(0, true)
      expect([rate, ...first.slice(4)]).toEqual([115_200, 0, 0, 8])
      const other = [0x80, 0x25, 0, 0, 2, 1, 7]
      expect(await ask(CONFIGURE, set(other), get)).toMatchObject([
        { stage: 'done' },
        { stage: 'takes', taken: true },
        { stage: 'gives', bytes: other },
      ])
    })

    test('DTR is bit 0 (table 18)', async () => {
      const answers = await ask(CONFIGURE, lines(3), lines(1), lines(2), lines(1), CONFIGURE)
      expect(answers.map(({ terminalReady }) => terminalReady)).toEqual([
        false,
        true,
        true,
        false,
        true,
        false,
      ])
    })

    test('what is not offered, or not for this interface, is refused', async () => {
      const short: Setup = { ...set([1, 2, 3]), length: 3 }
      const { data: _, ...shortWithoutData } = short
      for (const setup of [
        { type: CLASS | INTERFACE, request: SEND_BREAK, value: 10 },
        { ...get, index: 1 },
        { ...lines(1), index: 1 },
        shortWithoutData,
      ])
        expect([setup, (await askLast(CONFIGURE, setup)).stage]).toEqual([setup, 'refused'])
      expect((await askLast(get)).stage).toBe('refused')
      expect((await askLast(lines(1))).stage).toBe('refused')
    })
  })

  test('no setup packet does harm, and none gives more than was asked for', async () => {
    const arbSetup = fc.record({
      type: fc.oneof(fc.constantFrom(0x00, 0x01, 0x02, 0x21, 0x80, 0x81, 0x82, 0xa1), fc.nat(255)),
      request: fc.oneof(fc.nat(12), fc.constantFrom(0x20, 0x21, 0x22), fc.nat(255)),
      value: fc.oneof(
        fc.nat(3),
        fc.nat(0xffff),
        fc.nat(7).map((kind) => kind << 8),
      ),
      index: fc.oneof(fc.constantFrom(0, 1, 2, 0x80, 0x81, 0x82), fc.nat(0xffff)),
      length: fc.oneof(fc.nat(70), fc.nat(0xffff)),
    })
    await fc.assert(
      fc.asyncProperty(fc.array(arbSetup, { maxLength: 20 }), async (setups) => {
        const whole = setups.map((setup): Setup => {
          const takes = setup.type === 0x21 && setup.request === SET_LINE_CODING
          return takes ? { ...setup, request: GET_LINE_CODING } : setup
        })
        const answers = await ask(...whole)
        answers.forEach(({ bytes, address, configuration }, k) => {
          expect(bytes.length).toBeLessThanOrEqual(whole[k]?.length ?? 0)
          expect(address).toBeLessThan(128)
          expect(configuration).toBeLessThan(2)
        })
      }),
      { numRuns: draws(3_000) },
    )
  })
})
