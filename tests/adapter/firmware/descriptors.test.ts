import fc from 'fast-check'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { parseReportDescriptor } from '../../../src/pad/descriptor/parse.ts'
import {
  GAME_PAD_REPORT_BYTES,
  gamePad,
  hub,
  receiver,
  vendorPad,
} from '../../reference/adapter/emulator/virtual-pads.ts'
import { describeWith } from '../../tools.ts'
import { HOST_COMPILER, HostProgram, Message, Reader } from './host-program.ts'
import { draws } from '../../draws.ts'

/** In the order of `enum hid_kind`. */
const KINDS = ['nothing', 'other', 'keyboard or mouse', 'pad'] as const
const SCAN = 0
const CONFIGURATION = 1
const FULL_SPEED_PACKET = 64

interface Interface {
  readonly kind: 'hid' | 'vendor'
  readonly number: number
  readonly boot: boolean
  readonly keyboardOrMouse: boolean
  readonly descriptorBytes: number
  readonly endpoint: number
  readonly packetBytes: number
  readonly intervalMs: number
}

/**
 * HID 1.11 appendix E, a keyboard with a pointing device: E.2 to E.5 and E.7 to E.9, from memory. The lengths in it add up to what E.2
 * says, and to those of the report descriptors of E.6 and E.10.
 */
const APPENDIX_E = Uint8Array.of(
  ...[0x09, 0x02, 0x3b, 0x00, 0x02, 0x01, 0x00, 0xa0, 0x32],
  ...[0x09, 0x04, 0x00, 0x00, 0x01, 0x03, 0x01, 0x01, 0x00],
  ...[0x09, 0x21, 0x01, 0x01, 0x00, 0x01, 0x22, 0x3f, 0x00],
  ...[0x07, 0x05, 0x81, 0x03, 0x08, 0x00, 0x0a],
  ...[0x09, 0x04, 0x01, 0x00, 0x01, 0x03, 0x01, 0x02, 0x00],
  ...[0x09, 0x21, 0x01, 0x01, 0x00, 0x01, 0x22, 0x32, 0x00],
  ...[0x07, 0x05, 0x82, 0x03, 0x08, 0x00, 0x0a],
)

/** The joystick of HID 1.11 appendix D.1, from memory: X, Y, throttle, a hat switch and four buttons, all in four bytes. */
const JOYSTICK = Uint8Array.of(
  ...[0x05, 0x01, 0x15, 0x00, 0x09, 0x04, 0xa1, 0x01],
  ...[0x05, 0x02, 0x09, 0xbb, 0x15, 0x81, 0x25, 0x7f, 0x75, 0x08, 0x95, 0x01, 0x81, 0x02],
  ...[0x05, 0x01, 0x09, 0x01, 0xa1, 0x00, 0x09, 0x30, 0x09, 0x31, 0x95, 0x02, 0x81, 0x02, 0xc0],
  ...[0x09, 0x39, 0x15, 0x00, 0x25, 0x03, 0x35, 0x00, 0x46, 0x0e, 0x01, 0x65, 0x14],
  ...[0x75, 0x04, 0x95, 0x01, 0x81, 0x02],
  ...[0x05, 0x09, 0x19, 0x01, 0x29, 0x04, 0x15, 0x00, 0x25, 0x01, 0x75, 0x01, 0x95, 0x04, 0x55, 0x00, 0x65],
  ...[0x00, 0x81, 0x02, 0xc0],
)

/** An item with as many bytes of data as it needs. */
const item = (prefix: number, value: number): number[] =>
  value < 0x100
    ? [prefix | 1, value]
    : value < 0x10000
      ? [prefix | 2, value & 0xff, value >> 8]
      : [prefix | 3, value & 0xff, (value >> 8) & 0xff, (value >> 16) & 0xff, value >>> 24]

const arbInputs = fc
  .array(
    fc.record({
      report: fc.option(fc.integer({ min: 1, max: 9 }), { nil: 0 }),
      bits: fc.integer({ min: 1, max: 32 }),
      count: fc.integer({ min: 1, max: 40 }),
      kind: fc.constantFrom(0x80, 0x90, 0xb0),
      pushed: fc.boolean(),
    }),
    { minLength: 1, maxLength: 6 },
  )
  // Either all reports have numbers or none has (HID 1.11 section 6.2.2.7).
  .chain((inputs) =>
    fc.constantFrom(
      inputs.map((one) => ({ ...one, report: 0 })),
      inputs.map((one) => ({ ...one, report: one.report || 1 })),
    ),
  )

const arbDescriptor = fc
  .array(
    fc.record({
      page: fc.constantFrom(1, 1, 1, 2, 12, 0xff00),
      usage: fc.constantFrom(1, 2, 4, 5, 6, 7, 8, 9, 0x80),
      wide: fc.boolean(),
      pageFirst: fc.boolean(),
      type: fc.constantFrom(1, 1, 1, 0, 2),
    }),
    { minLength: 1, maxLength: 4 },
  )
  .chain((collections) =>
    arbInputs.map((inputs) => {
      const perCollection = Math.ceil(inputs.length / collections.length)
      return Uint8Array.from(
        collections.flatMap(({ page, usage, wide, pageFirst, type }, k) => [
          ...(pageFirst ? item(0x04, page) : []),
          ...(wide ? [0x0b, usage, 0, page & 0xff, page >> 8] : item(0x08, usage)),
          ...(pageFirst ? [] : item(0x04, page)),
          ...item(0xa0, type),
          ...inputs
            .slice(k * perCollection, (k + 1) * perCollection)
            .flatMap((one) => [
              ...(one.report > 0 ? item(0x84, one.report) : []),
              ...(one.pushed ? [0xa4, ...item(0x74, 7), ...item(0x94, 3), 0xb4] : []),
              ...item(0x74, one.bits),
              ...item(0x94, one.count),
              ...item(one.kind, 2),
            ]),
          0xc0,
        ]),
      )
    }),
  )

/** The same by the app's own parser: the kind of the best application collection, and the longest input report. */
function byTheApp(bytes: Uint8Array): [string, number] {
  const parsed = parseReportDescriptor(bytes)
  if (!parsed.ok) throw new Error(parsed.error.message)
  const { collections, reports, numbered } = parsed.value
  const kinds = collections
    .filter(({ type }) => type === 1)
    .map(({ page, id }) => (page !== 1 ? 1 : [4, 5, 8].includes(id) ? 3 : [2, 6, 7].includes(id) ? 2 : 1))
  const longest = Math.max(
    0,
    ...reports.filter(({ kind }) => kind === 'input').map(({ bits }) => Math.ceil(bits / 8)),
  )
  return [KINDS[Math.max(0, ...kinds)] ?? '', longest === 0 ? 0 : longest + (numbered ? 1 : 0)]
}

describeWith('what a host reads of descriptors, in C', [HOST_COMPILER], () => {
  let program: HostProgram
  beforeAll(() => {
    program = HostProgram.start('descriptors-host.c', ['hid-scan.c', 'configuration.c'])
  })
  afterAll(() => program.stop())

  const scan = async (bytes: Uint8Array): Promise<[string, number]> => {
    const reply = new Reader(await program.ask(new Message().u8(SCAN).u8(0).counted(bytes).done()))
    return [KINDS[reply.u8()] ?? 'none of these', reply.u16()]
  }
  const read = async (bytes: Uint8Array, mostPacket = FULL_SPEED_PACKET) => {
    const reply = new Reader(
      await program.ask(new Message().u8(CONFIGURATION).u8(mostPacket).counted(bytes).done()),
    )
    const head = { sound: reply.u8() === 1, value: reply.u8(), hub: reply.u8() === 1 }
    const interfaces = Array.from({ length: reply.u8() }, (): Interface => ({
      kind: reply.u8() === 0 ? 'hid' : 'vendor',
      number: reply.u8(),
      boot: reply.u8() === 1,
      keyboardOrMouse: reply.u8() === 1,
      descriptorBytes: reply.u16(),
      endpoint: reply.u8(),
      packetBytes: reply.u8(),
      intervalMs: reply.u8(),
    }))
    return { ...head, interfaces }
  }

  test('the configuration of HID 1.11 appendix E: a boot keyboard and a boot mouse', async () => {
    const boot = { kind: 'hid', boot: true, keyboardOrMouse: true, packetBytes: 8, intervalMs: 10 }
    expect(await read(APPENDIX_E)).toEqual({
      sound: true,
      value: 1,
      hub: false,
      interfaces: [
        { ...boot, number: 0, descriptorBytes: 63, endpoint: 1 },
        { ...boot, number: 1, descriptorBytes: 50, endpoint: 2 },
      ],
    })
  })

  test('the joystick of HID 1.11 appendix D.1', async () => {
    expect(await scan(JOYSTICK)).toEqual(['pad', 4])
    expect(byTheApp(JOYSTICK)).toEqual(['pad', 4])
  })

  test('a page that comes after the usage counts: it is that of the main item (HID 1.11 section 6.2.2.8)', async () => {
    const late = Uint8Array.of(0x09, 0x05, 0x05, 0x01, 0xa1, 0x01, 0x75, 0x08, 0x95, 0x02, 0x81, 0x02, 0xc0)
    expect(await scan(late)).toEqual(['pad', 2])
    const other = Uint8Array.of(
      0x05,
      0x01,
      0x09,
      0x05,
      0x05,
      0x0c,
      0xa1,
      0x01,
      0x75,
      0x08,
      0x95,
      0x02,
      0x81,
      0x02,
      0xc0,
    )
    expect(await scan(other)).toEqual(['other', 2])
  })

  test('the devices of the tests', async () => {
    const pad = gamePad()
    const report = pad.reportDescriptors?.get(0) ?? new Uint8Array()
    expect(await scan(report)).toEqual(['pad', GAME_PAD_REPORT_BYTES])
    expect((await read(receiver().configuration)).interfaces.map(({ endpoint }) => endpoint)).toEqual([1, 2])
    expect(await read(hub().configuration)).toMatchObject({ hub: true, interfaces: [] })
    expect((await read(vendorPad().configuration)).interfaces).toEqual([
      {
        kind: 'vendor',
        number: 0,
        boot: false,
        keyboardOrMouse: false,
        descriptorBytes: 0,
        endpoint: 1,
        packetBytes: 32,
        intervalMs: 4,
      },
    ])
    // No more than the speed allows, and never no interval at all.
    expect(
      (await read(gamePad({}, { packetBytes: 2047, intervalMs: 0 }).configuration, 8)).interfaces,
    ).toEqual([expect.objectContaining({ packetBytes: 8, intervalMs: 1 })])
  })

  test('scans as the app does', async () => {
    await fc.assert(
      fc.asyncProperty(arbDescriptor, async (bytes) => {
        expect(await scan(bytes)).toEqual(byTheApp(bytes))
      }),
      { numRuns: draws(1000) },
    )
  })

  test('bears anything', async () => {
    const arbitrary = fc.oneof(
      fc.uint8Array({ maxLength: 600 }),
      fc
        .tuple(
          fc.constantFrom(APPENDIX_E, JOYSTICK, receiver().configuration, vendorPad().configuration),
          fc.array(fc.tuple(fc.nat(99), fc.nat(255)), { minLength: 1, maxLength: 6 }),
          fc.nat(99),
        )
        .map(([bytes, damage, cut]) => {
          const copy = bytes.slice(0, Math.max(1, bytes.length - (cut < 50 ? cut : 0)))
          for (const [at, value] of damage) copy[at % copy.length] = value
          return copy
        }),
    )
    await fc.assert(
      fc.asyncProperty(arbitrary, async (bytes) => {
        const [kind, length] = await scan(bytes)
        expect(KINDS).toContain(kind)
        expect(length).toBeLessThanOrEqual(1025)
        const { interfaces } = await read(bytes)
        expect(interfaces.length).toBeLessThanOrEqual(8)
        for (const { endpoint, packetBytes, intervalMs } of interfaces) {
          expect(endpoint).toBeGreaterThan(0)
          expect(packetBytes).toBeGreaterThan(0)
          expect(packetBytes).toBeLessThanOrEqual(64)
          expect(intervalMs).toBeGreaterThan(0)
        }
      }),
      { numRuns: draws(4000) },
    )
  })
})
