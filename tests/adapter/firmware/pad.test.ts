import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CONTROLS, controlMask, controlsIn } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { PadReader } from '../../../src/pad/extract.ts'
import type { PadState } from '../../../src/pad/extract.ts'
import { VENDOR_LAYOUT } from '../../../src/pad/layout/built-in.ts'
import type { Extractor, Field, Layout } from '../../../src/pad/layout/schema.ts'
import { stickDirection } from '../../../src/pad/stick/direction.ts'
import { stickNumbers } from '../../../src/pad/stick/numbers.ts'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import type { StickSettings } from '../../../src/pad/stick/settings.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { encodePad } from '../../../src/profile/encode-pad.ts'
import {
  arbitraryLayout,
  arbitraryReport,
  arbitraryStick,
  arbitraryWideHat,
} from '../../pad/arbitrary-layout.ts'
import { describeWith } from '../../tools.ts'
import { asVersion1 } from './input-state-reference.ts'
import { COMPILE_MS, HOST_COMPILER, HostProgram, Message, Reader } from './host-program.ts'
import { draws, often } from '../../draws.ts'

const AXIS_FULL = 32767
const letter = (name: string): Message => new Message().bytes(Buffer.from(name))
const seed = Number(process.env['NINEPIN_SEED'] ?? Date.now() & 0x7fffffff)

/** A layout that an adapter can use. */
const arbLayout = arbitraryLayout({ vias: ['hid', 'vendor'] })

/** A button in one bit. */
const digital = (control: Control, report: number, bit: number): Extractor => ({
  kind: 'threshold',
  control,
  field: { report, bit, bits: 1, signed: false },
  press: 1,
  release: 0,
})

/** A signed axis of the left stick. */
const axisOf = (axis: 'x' | 'y', field: Field, end: number): Extractor => ({
  kind: 'axis',
  stick: 'left',
  axis,
  field: { ...field, signed: true },
  low: -end,
  centre: 0,
  high: end,
})

/** Values about which an extractor changes its mind. */
const edgesOf = (extractor: Extractor): readonly number[] => {
  switch (extractor.kind) {
    case 'threshold':
      return [extractor.press, extractor.release]
    case 'array':
      return [extractor.value]
    case 'hat':
      return [0, 1, extractor.positions].map((k) => extractor.first + k * extractor.step)
    case 'axis':
      return [extractor.low, extractor.centre, extractor.high]
  }
}

/** Writes a value into the field of an extractor, or into one of the fields of its array. */
function put(
  report: Uint8Array,
  numbered: boolean,
  extractor: Extractor,
  value: number,
  which: number,
): void {
  const { report: number, bit, bits } = extractor.field
  const from = bit + (extractor.kind === 'array' ? bits * (which % extractor.count) : 0) + (numbered ? 8 : 0)
  if (numbered) report[0] = number
  for (let k = 0; k < bits; k++) {
    const at = from + k
    const byte = report[at >> 3] ?? 0
    const on = (BigInt(value) >> BigInt(k)) & 1n
    report[at >> 3] = on ? byte | (1 << (at & 7)) : byte & ~(1 << (at & 7))
  }
}

/** Any report, or one whose field stands by a hair on either side of what its extractor waits for. */
const arbReportNear = (layout: Layout): fc.Arbitrary<Uint8Array> => {
  const numbered = layout.extractors.some(({ field }) => field.report > 0)
  const near = fc
    .record({
      base: fc.uint8Array({ minLength: numbered ? 65 : 64, maxLength: numbered ? 65 : 64 }),
      places: fc.array(
        fc.record({
          extractor: fc.constantFrom(...layout.extractors),
          edge: fc.nat(2),
          off: fc.integer({ min: -1, max: 1 }),
          which: fc.nat(63),
        }),
        { minLength: 1, maxLength: 6 },
      ),
    })
    .map(({ base, places }) => {
      const report = Uint8Array.from(base)
      for (const { extractor, edge, off, which } of places) {
        const edges = edgesOf(extractor)
        put(report, numbered, extractor, (edges[edge % edges.length] ?? 0) + off, which)
      }
      return report
    })
  return fc.oneof(near, arbitraryReport(layout))
}

describeWith('pads in C', [HOST_COMPILER], () => {
  let host: HostProgram
  beforeAll(() => {
    const parts = ['extract.c', 'stick.c', 'pad-reader.c', 'image.c', 'image-content.c', 'crc32.c']
    host = HostProgram.start('pad-host.c', parts, { tables: true })
  }, COMPILE_MS)
  afterAll(() => host.stop())

  describe('extractors', () => {
    async function extracted(layout: Layout, reports: readonly Uint8Array[]): Promise<PadState[]> {
      const question = reports.reduce((all, one) => all.counted(one), letter('x').counted(encodePad(layout)))
      const answer = new Reader(await host.ask(question.done()))
      const axis = () => (answer.u16() << 16) >> 16
      return reports.map(() => ({
        controls: answer.u32(),
        left: { x: axis(), y: axis() },
        right: { x: axis(), y: axis() },
      }))
    }

    test(`say what the layout says: ${draws(700)} random pads with 60 reports each (seed ${seed})`, async () => {
      let held = 0
      const arb = arbLayout.chain((layout) =>
        fc.tuple(
          fc.constant(layout),
          fc.array(arbReportNear(layout), { minLength: 60, maxLength: 60, size: 'max' }),
        ),
      )
      await fc.assert(
        fc.asyncProperty(arb, async ([layout, reports]) => {
          const reader = new PadReader(layout)
          const states = await extracted(layout, reports)
          states.forEach((state, k) => {
            expect(state).toEqual(reader.report(reports[k] as Uint8Array))
            held += state.controls === 0 ? 0 : 1
          })
        }),
        { numRuns: draws(700), seed },
      )
      expect(held).toBeGreaterThan(often(1_000))
    })

    // The firmware looks at each place once for all arrays that stand there.
    test('say so too where arrays share their place, in any order, and a value stands for several controls', async () => {
      const PLACES = [
        { bit: 0, count: 3 },
        { bit: 0, count: 4 },
        { bit: 4, count: 3 },
      ]
      const arbArrays = fc.array(
        fc
          .record({
            control: fc.constantFrom(...CONTROLS),
            place: fc.constantFrom(...PLACES),
            signed: fc.boolean(),
            value: fc.integer({ min: -3, max: 4 }),
          })
          .map(({ control, place, signed, value }): Extractor => ({
            kind: 'array',
            control,
            field: { report: 0, bit: place.bit, bits: 4, signed },
            count: place.count,
            value,
          })),
        { minLength: 1, maxLength: 40, size: 'max' },
      )
      const arbReports = fc.array(fc.uint8Array({ minLength: 2, maxLength: 3 }), {
        minLength: 20,
        maxLength: 20,
      })
      await fc.assert(
        fc.asyncProperty(arbArrays, arbReports, async (extractors, reports) => {
          const layout = { ...VENDOR_LAYOUT, extractors }
          const reader = new PadReader(layout)
          const expected = reports.map((report) => controlsIn(reader.report(report).controls))
          const states = await extracted(layout, reports)
          expect(states.map(({ controls }) => controlsIn(controls))).toEqual(expected)
        }),
        { numRuns: draws(200) },
      )
    })

    const oneOf = (extractor: Extractor): Layout => ({ ...VENDOR_LAYOUT, extractors: [extractor] })
    const field = { report: 0, bit: 0, bits: 32, signed: true } as const
    const i32 = (value: number) => new Message().u32(value).done()

    test(`read every value of 16 bits out of a hat, at any step (seed ${seed})`, async () => {
      const reports = Array.from({ length: 0x10000 }, (_, value) => Uint8Array.of(value, value >> 8))
      await fc.assert(
        fc.asyncProperty(arbitraryWideHat, async (hat) => {
          const reader = new PadReader({ extractors: [hat] })
          const states = await extracted(oneOf(hat), reports)
          const wrong = states.findIndex(
            ({ controls }, value) => controls !== reader.report(reports[value] as Uint8Array).controls,
          )
          expect(wrong).toBe(-1)
        }),
        { numRuns: 5, seed },
      )
    })

    // What 32-bit arithmetic gets wrong where it is not careful, worked out from IMAGE.md by hand.
    test('bear the ends of 32 bits', async () => {
      const MIN = -0x8000_0000
      const MAX = 0x7fff_ffff
      const controls = async (extractor: Extractor, values: readonly number[]) =>
        (await extracted(oneOf(extractor), values.map(i32))).map((state) => controlsIn(state.controls))
      const south = { control: 'face-south', field } as const
      expect(await controls({ kind: 'threshold', ...south, press: MIN, release: MIN }, [MAX, MIN])).toEqual([
        ['face-south'],
        ['face-south'],
      ])
      expect(
        await controls({ kind: 'threshold', ...south, press: MIN, release: MAX }, [MAX, MIN, 0, MAX]),
      ).toEqual([[], ['face-south'], ['face-south'], []])
      expect(
        await controls({ kind: 'hat', cross: 'dpad', field, first: MAX, step: 1, positions: 8 }, [
          MIN,
          MIN + 6,
          MAX,
        ]),
      ).toEqual([[], [], ['dpad-up']])
      const wide = { kind: 'hat', cross: 'dpad', field, positions: 8 } as const
      const STEP = 1_000_000
      expect(await controls({ ...wide, first: MAX - 1, step: STEP }, [MIN, -1, MAX - 2, MAX])).toEqual([
        [],
        [],
        [],
        ['dpad-up'],
      ])
      expect(
        await controls({ ...wide, first: MIN, step: STEP }, [
          MIN,
          MIN + STEP - 1,
          MIN + STEP,
          MIN + 8 * STEP - 1,
          MIN + 8 * STEP,
          MAX,
        ]),
      ).toEqual([['dpad-up'], ['dpad-up'], ['dpad-up', 'dpad-right'], ['dpad-up', 'dpad-left'], [], []])
      const axis = {
        kind: 'axis',
        stick: 'left',
        axis: 'x',
        field,
        low: MIN,
        centre: MAX - 1,
        high: MAX,
      } as const
      const xs = (await extracted(oneOf(axis), [MIN, MAX - 1, MAX, 0].map(i32))).map(({ left }) => left.x)
      // d = 2^31 - 2, s = 2^32 - 2, both shifted right by 17: 16383 of 32767, times the factor 65536.
      expect(xs).toEqual([-AXIS_FULL, 0, AXIS_FULL, -16383])
    })
  })

  describe('sticks', () => {
    interface Walk {
      readonly settings: StickSettings
      readonly places: readonly (readonly [x: number, y: number])[]
    }
    const clamp = (value: number) => Math.max(-AXIS_FULL, Math.min(AXIS_FULL, Math.round(value)))
    const arbAmount = fc.integer({ min: -AXIS_FULL, max: AXIS_FULL })

    /** Places on or by a hair beside the lines at which something changes, all over the plane, and small steps. */
    const arbWalk: fc.Arbitrary<Walk> = arbitraryStick.chain((settings) => {
      const { press, release, enter, begin, leave } = stickNumbers(settings)
      const anywhere = fc.tuple(arbAmount, arbAmount)
      const onRay = fc
        .tuple(arbAmount, fc.constantFrom(enter, begin, leave, 32768), fc.nat(2), fc.boolean(), fc.boolean())
        .map(([major, ratio, off, swap, flip]): [number, number] => {
          const minor = clamp(((flip ? -1 : 1) * Math.abs(major) * ratio) / 32768 + off - 1)
          return swap ? [minor, major] : [major, minor]
        })
      const atLimit = fc
        .tuple(
          fc.double({ min: 0, max: 2 * Math.PI, noNaN: true }),
          fc.constantFrom(press, release),
          fc.nat(4),
        )
        .map(([angle, limit, off]): [number, number] => [
          clamp(Math.cos(angle) * limit + off - 2),
          clamp(Math.sin(angle) * limit + off - 2),
        ])
      const onGate = fc
        .tuple(arbAmount, fc.constantFrom(press, release), fc.integer({ min: -1, max: 1 }), fc.boolean())
        .map(([x, limit, off, swap]): [number, number] => (swap ? [x, limit + off] : [limit + off, x]))
      // Exactly on a ray: where the greater amount makes the product a whole number of 32768ths.
      const exactly = fc
        .tuple(fc.constantFrom(enter, begin, leave), fc.nat(), fc.boolean(), fc.boolean())
        .map(([ratio, times, swap, flip]): [number, number] => {
          const unit = 32768 / (ratio & -ratio)
          const most = Math.floor(AXIS_FULL / unit)
          const major = most === 0 ? AXIS_FULL : unit * (1 + (times % most))
          const minor = clamp(((flip ? -1 : 1) * major * ratio) / 32768)
          return swap ? [minor, major] : [major, minor]
        })
      // On the octagon's oblique side: the least sum of amounts that reaches the limit, or 1 less.
      const oblique = fc
        .tuple(fc.constantFrom(press, release), fc.nat(1), fc.double({ min: 0.4, max: 0.6, noNaN: true }))
        .map(([limit, less, share]): [number, number] => {
          const sum = Math.ceil((limit * 65536) / 46341) - less
          const x = Math.round(sum * share)
          return [clamp(x), clamp(x - sum)]
        })
      const place = fc.oneof(anywhere, onRay, exactly, oblique, atLimit, onGate)
      const path = fc
        .tuple(place, place, fc.integer({ min: 1, max: 12 }))
        .map(([from, to, steps]) =>
          Array.from({ length: steps + 1 }, (_, k): [number, number] => [
            clamp(from[0] + ((to[0] - from[0]) * k) / steps),
            clamp(from[1] + ((to[1] - from[1]) * k) / steps),
          ]),
        )
      return fc.record({
        settings: fc.constant(settings),
        places: fc.array(path, { minLength: 18, maxLength: 18, size: 'max' }).map((paths) => paths.flat()),
      })
    })

    test(`hold what the settings say: ${draws(1_200)} random settings, ${draws(100_000)} places or more (seed ${seed})`, async () => {
      const walks = fc.sample(arbWalk, { numRuns: draws(1_200), seed })
      const question = letter('s')
      for (const { settings, places } of walks) {
        const { press, release, enter, begin, leave } = stickNumbers(settings)
        question.u8(['circle', 'square', 'octagon'].indexOf(settings.gate))
        question.u16(press).u16(release).u16(enter).u16(begin).u16(leave).u16(places.length)
        for (const [x, y] of places) question.u16(x).u16(y)
      }
      const answer = new Reader(await host.ask(question.done()))
      let looked = 0
      const seen = new Set<number>()
      for (const { settings, places } of walks) {
        const numbers = stickNumbers(settings)
        let before = 0
        for (const [x, y] of places) {
          const expected = stickDirection(numbers, settings.gate, x, y, before)
          const got = answer.u8()
          if (got !== expected)
            throw new Error(`${JSON.stringify({ settings, x, y, before, expected, got, seed })}`)
          before = expected
          seen.add(expected)
          looked++
        }
      }
      expect(looked).toBeGreaterThan(often(100_000))
      expect(seen.size).toBe(9)
    })
  })

  describe('the pad that is plugged in', () => {
    const profile = BUILT_IN_PROFILES['six-button']
    const anyPad: Layout = {
      ...VENDOR_LAYOUT,
      name: 'Pad of the lamp museum',
      pad: { via: 'hid', vendorId: 0x1209, productId: 0x0001, descriptorCrc32: null },
      extractors: [digital('face-south', 0, 0)],
    }
    const holding = (control: Control, more: Partial<Layout['pad']>): Layout => ({
      ...anyPad,
      pad: { ...anyPad.pad, ...more },
      extractors: [digital(control, 0, 0)],
    })

    interface Identity {
      readonly via: number
      readonly vendor: number
      readonly product: number
      readonly crc: number
    }
    const ours: Identity = { via: 0, vendor: 0x1209, product: 0x0001, crc: 0xfeedbeef }
    const plugged = (message: Message, { via, vendor, product, crc }: Identity): Message =>
      message.bytes(Buffer.from('p')).u8(via).u16(vendor).u16(product).u16(0x0100).u32(crc)
    const reported = (message: Message, ...bytes: number[]): Message =>
      message.bytes(Buffer.from('r')).counted(Uint8Array.from(bytes))
    const loaded = (message: Message, layouts: readonly Layout[]): Message =>
      message.bytes(Buffer.from('l')).counted(encodeImage(profile, layouts))
    const under = (layouts: readonly Layout[]): Message => letter('r').counted(encodeImage(profile, layouts))

    async function steps(message: Message): Promise<{ known: boolean; held: string[] }[]> {
      const bytes = await host.ask(message.done())
      const answer = new Reader(bytes)
      return Array.from({ length: bytes.length / 5 }, () => ({
        known: answer.u8() === 1,
        held: controlsIn(answer.u32()),
      }))
    }

    test('is read by the first entry that is meant for it', async () => {
      const message = under([
        holding('face-west', { productId: 2 }),
        holding('face-west', { via: 'vendor' }),
        holding('face-east', { descriptorCrc32: ours.crc }),
        anyPad,
      ])
      for (const crc of [ours.crc, ours.crc + 1]) reported(plugged(message, { ...ours, crc }), 1)
      reported(plugged(message, { ...ours, product: 2 }), 1)
      reported(plugged(message, { ...ours, vendor: 2 }), 1)
      expect((await steps(message)).filter((_, k) => k % 2 === 1)).toEqual([
        { known: true, held: ['face-east'] },
        { known: true, held: ['face-south'] },
        { known: true, held: ['face-west'] },
        { known: false, held: [] },
      ])
    })

    test('a vendor-class pad is read without an entry too, and by the entry where there is one', async () => {
      const message = plugged(under([]), { ...ours, via: 1, product: 77 })
      reported(message, 0x00, 0x14, 0, 0x10, 0, 0, 0xff, 0x7f, 0, 0, 0, 0, 0, 0x80, 0, 0, 0, 0, 0, 0)
      loaded(message, [holding('face-east', { via: 'vendor', productId: 77 })])
      reported(message, 1)
      expect(await steps(message)).toEqual([
        { known: true, held: [] },
        // Bytes 12 and 13 are the right stick's y, which counts upwards there: -32768 points down.
        { known: true, held: ['face-south', 'stick-left-right', 'stick-right-down'] },
        // What came last is read anew: its first bit is 0.
        { known: true, held: [] },
        { known: true, held: ['face-east'] },
      ])
    })

    test('holds nothing once it has gone, and nothing is left of it when it comes again', async () => {
      const message = reported(plugged(under([anyPad]), ours), 1)
      message.bytes(Buffer.from('u'))
      reported(message, 1)
      loaded(plugged(message, ours), [holding('face-east', {})])
      expect(await steps(message)).toEqual([
        { known: true, held: [] },
        { known: true, held: ['face-south'] },
        { known: false, held: [] },
        { known: false, held: [] },
        { known: true, held: [] },
        { known: true, held: [] },
      ])
    })

    test('under another image it is read anew from what it said last', async () => {
      const message = reported(plugged(under([anyPad]), ours), 1)
      loaded(message, [holding('face-east', {})])
      loaded(message, [])
      loaded(message, [anyPad])
      expect((await steps(message)).slice(2)).toEqual([
        { known: true, held: ['face-east'] },
        { known: false, held: [] },
        { known: true, held: ['face-south'] },
      ])
    })

    test('under an image of version 1 its sticks are as usual', async () => {
      const v2 = encodeImage({ ...profile, sticks: { left: USUAL_STICK, right: USUAL_STICK } })
      const v1 = asVersion1(v2)
      const arbAxis = fc.integer({ min: -32768, max: AXIS_FULL })
      const places = fc.sample(fc.tuple(arbAxis, arbAxis, arbAxis, arbAxis), { numRuns: draws(4_000), seed })
      const walk = (image: Uint8Array) => {
        const message = plugged(letter('r').counted(image), { ...ours, via: 1 })
        for (const place of places) {
          const report = new Message().u32(0x1400).u16(0)
          for (const axis of place) report.u16(axis)
          message.bytes(Buffer.from('r')).counted(report.u32(0).u16(0).done())
        }
        return steps(message)
      }
      const states = await walk(v1)
      expect(states).toEqual(await walk(v2))
      expect(new Set(states.map(({ held }) => held.join())).size).toBeGreaterThan(often(40))
    })

    test(`reads as layout and settings of the profile say: ${draws(300)} random pads (seed ${seed})`, async () => {
      const arb = fc
        .record({ layout: arbLayout, left: arbitraryStick, right: arbitraryStick })
        .chain((all) =>
          fc.tuple(
            fc.constant(all),
            fc.array(arbReportNear(all.layout), { minLength: 30, maxLength: 30, size: 'max' }),
          ),
        )
      await fc.assert(
        fc.asyncProperty(arb, async ([{ layout, left, right }, reports]) => {
          const image = encodeImage({ ...profile, sticks: { left, right } }, [layout])
          const { pad } = layout
          const message = plugged(letter('r').counted(image), {
            via: pad.via === 'vendor' ? 1 : 0,
            vendor: pad.vendorId,
            product: pad.productId,
            crc: pad.descriptorCrc32 ?? 0,
          })
          for (const report of reports) message.bytes(Buffer.from('r')).counted(report)
          const reader = new PadReader(layout)
          const sticks = [left, right].map((settings) => ({
            settings,
            numbers: stickNumbers(settings),
            held: 0,
          }))
          const expected = reports.map((report) => {
            const { controls, ...at } = reader.report(report)
            const [l, r] = sticks.map((stick, k) => {
              const { x, y } = k === 0 ? at.left : at.right
              return (stick.held = stickDirection(stick.numbers, stick.settings.gate, x, y, stick.held))
            }) as [number, number]
            return controlsIn((controls | (l << 17) | (r << 21)) >>> 0)
          })
          expect((await steps(message)).slice(1).map(({ held }) => held)).toEqual(expected)
        }),
        { numRuns: draws(300), seed },
      )
    })
  })

  async function oneReport(extractors: readonly Extractor[], ...report: number[]): Promise<PadState> {
    const entry = encodePad({ ...VENDOR_LAYOUT, extractors })
    const answer = new Reader(
      await host.ask(letter('x').counted(entry).counted(Uint8Array.from(report)).done()),
    )
    const axis = () => (answer.u16() << 16) >> 16
    return { controls: answer.u32(), left: { x: axis(), y: axis() }, right: { x: axis(), y: axis() } }
  }

  // Device Class Definition for Physical Interface Devices 1.0, example report descriptor: input report 1 has throttle, x, y (8 bits
  // each, -127 to 127), a hat of four positions in 4 bits, and four buttons.
  test('reads the joystick of the PID 1.0 example', async () => {
    const field = (byte: number): Field => ({ report: 1, bit: 8 * byte, bits: 8, signed: true })
    const buttons = ['face-south', 'face-east', 'face-west', 'face-north'] as const
    const extractors: Extractor[] = [
      axisOf('x', field(1), 127),
      axisOf('y', field(2), 127),
      {
        kind: 'hat',
        cross: 'dpad',
        field: { report: 1, bit: 24, bits: 4, signed: false },
        first: 0,
        step: 1,
        positions: 4,
      },
      ...buttons.map((control, k) => digital(control, 1, 28 + k)),
    ]
    expect(await oneReport(extractors, 1, 0, 127, 0x81, 0x92)).toEqual({
      controls: controlMask(['dpad-down', 'face-south', 'face-north']),
      left: { x: AXIS_FULL, y: -AXIS_FULL },
      right: { x: 0, y: 0 },
    })
  })

  // HID Usage Tables 1.1, appendix A, example game pad (figure 16): byte 0 has x in bits 0-1 and y in bits 2-3, -1 to 1; byte 1 has six
  // buttons from bit 0 on.
  test('reads the game pad of the example in the HID Usage Tables', async () => {
    const field = (bit: number): Field => ({ report: 0, bit, bits: 2, signed: true })
    const extractors = [
      axisOf('x', field(0), 1),
      axisOf('y', field(2), 1),
      digital('face-south', 0, 8),
      digital('extra-1', 0, 13),
    ]
    expect(await oneReport(extractors, 0b0111, 0b100000)).toEqual({
      controls: controlMask(['extra-1']),
      left: { x: -AXIS_FULL, y: AXIS_FULL },
      right: { x: 0, y: 0 },
    })
  })
})
