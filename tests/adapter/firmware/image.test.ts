import { createRequire } from 'node:module'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { VENDOR_LAYOUT } from '../../../src/pad/layout/built-in.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { crc32 } from '../../../src/document/crc32.ts'
import { decodeImage } from '../../../src/profile/decode-image.ts'
import type { ImageError } from '../../../src/profile/decode-image.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { encodePad } from '../../../src/profile/encode-pad.ts'
import { AT, NAME_ROOM } from '../../../src/profile/image-layout.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { arbSweep } from '../../profile/arbitrary-sweep.ts'
import { sealed } from '../../profile/image-bytes.ts'
import { describeWith } from '../../tools.ts'
import { arbPads, arbRunnable, asVersion1 } from './input-state-reference.ts'
import { COMPILE_MS, HOST_COMPILER, HostProgram, Message } from './host-program.ts'
import { draws } from '../../draws.ts'

let host: HostProgram

describeWith('images in C', [HOST_COMPILER], () => {
  beforeAll(() => {
    host = HostProgram.start('image-host.c', ['image.c', 'crc32.c', 'cobs.c'])
  }, COMPILE_MS)
  afterAll(() => host.stop())

  const ask = (question: string, bytes: Uint8Array) =>
    host.ask(new Message().bytes(Buffer.from(question)).bytes(bytes).done())
  const hex = (text: string) => Uint8Array.from(Buffer.from(text.replaceAll(' ', ''), 'hex'))

  describe('CRC-32', () => {
    const crcInC = async (bytes: Uint8Array) => Buffer.from(await ask('c', bytes)).readUInt32LE(0)

    test('has the check value of CRC-32/ISO-HDLC in the catalogue of parametrised CRC algorithms', async () => {
      expect(await crcInC(Buffer.from('123456789'))).toBe(0xcbf43926)
    })

    test('is the one of the images and frames', async () => {
      await fc.assert(
        fc.asyncProperty(fc.uint8Array({ maxLength: 600 }), async (bytes) => {
          expect(await crcInC(bytes)).toBe(crc32(bytes))
        }),
        { numRuns: draws(500) },
      )
    })
  })

  describe('COBS', () => {
    const stuff = (bytes: Uint8Array) => ask('s', bytes)
    const unstuff = async (bytes: Uint8Array) => {
      const [bad, ...content] = await ask('u', bytes)
      return bad ? null : Uint8Array.from(content)
    }

    // Cheshire and Baker, "Consistent Overhead Byte Stuffing" (1999), figure 3: a run with zeros, and its stuffed form.
    test('stuffs the example of the paper', async () => {
      const example = hex('45 00 00 2C 4C 79 00 00 40 06 4F 37')
      const stuffed = hex('02 45 01 04 2C 4C 79 01 05 40 06 4F 37')
      expect(await stuff(example)).toEqual(stuffed)
      expect(await unstuff(stuffed)).toEqual(example)
    })

    test('refuses what is empty or cut off', async () => {
      for (const bad of ['', '02', '05 01 02 03', '01 03 01']) expect(await unstuff(hex(bad))).toBeNull()
    })

    const arbBlock = fc.uint8Array({ maxLength: 253 }).chain((bytes) =>
      fc.constantFrom(
        bytes,
        bytes.map((byte) => byte & 1),
      ),
    )

    test('comes back, and is never longer than one byte more', async () => {
      await fc.assert(
        fc.asyncProperty(arbBlock, async (bytes) => {
          const stuffed = await stuff(bytes)
          expect(stuffed).toHaveLength(bytes.length + 1)
          expect(stuffed).not.toContain(0)
          expect(await unstuff(stuffed)).toEqual(bytes)
        }),
        { numRuns: draws(2_000) },
      )
    })

    describeWith('against the npm package cobs', ['npm:cobs'], () => {
      test('gives the same bytes', async () => {
        const { encode } = createRequire(import.meta.url)('cobs') as { encode: (bytes: Buffer) => Buffer }
        await fc.assert(
          fc.asyncProperty(arbBlock, async (bytes) => {
            // Of nothing that package makes nothing; the paper makes a single 01.
            fc.pre(bytes.length > 0)
            expect(await stuff(bytes)).toEqual(Uint8Array.from(encode(Buffer.from(bytes))))
          }),
          { numRuns: draws(2_000) },
        )
      })
    })
  })

  describe('image_check', () => {
    /** The five numbers of a stick follow from its settings; a small chip believes them (IMAGE.md). @returns with one of them made good */
    function withStickMended(image: Uint8Array, { byte, message }: ImageError): Uint8Array | null {
      const right = /^this stick.* follows (\d+)$/.exec(message)?.[1]
      if (right === undefined) return null
      const mended = Uint8Array.from(image)
      new DataView(mended.buffer).setUint16(byte, Number(right), true)
      return sealed(mended)
    }

    /** Sends images in one question and compares every answer with `decodeImage`. @returns how many were accepted */
    async function compare(images: readonly Uint8Array[]): Promise<number> {
      const answers = await ask('k', images.reduce((all, image) => all.counted(image), new Message()).done())
      expect(answers).toHaveLength(images.length)
      let accepted = 0
      const believed: Uint8Array[] = []
      images.forEach((image, k) => {
        const decoded = decodeImage(image)
        const inC = answers[k] === 1
        const mended = decoded.ok || !inC ? null : withStickMended(image, decoded.error)
        if (mended) {
          believed.push(mended)
          return
        }
        if (inC !== decoded.ok) {
          const said = decoded.ok
            ? 'accepted'
            : `refused (byte ${decoded.error.byte}: ${decoded.error.message})`
          throw new Error(`${said} in TypeScript, not so in C: ${Buffer.from(image).toString('hex')}`)
        }
        accepted += inC ? 1 : 0
      })
      return believed.length === 0 ? accepted : accepted + (await compare(believed))
    }

    const seed = Number(process.env['NINEPIN_SEED'] ?? Date.now() & 0x7fffffff)
    const many = <T>(arb: fc.Arbitrary<T>, numRuns: number) => fc.sample(arb, { numRuns, seed })

    test('accepts the built-in profiles', async () => {
      const images = Object.values(BUILT_IN_PROFILES).map((profile) => encodeImage(profile))
      expect(await compare(images)).toBe(images.length)
    })

    const arbPlainImage = fc.tuple(arbRunnable, arbPads).map(([profile, pads]) => encodeImage(profile, pads))
    /** With late replies, of profiles small enough that there is room for everything. */
    const arbSweepImage = arbRunnable.chain((profile) => {
      const plain = { ...profile, delayNs: 0, layers: [], bankChange: [] }
      return arbSweep(profile.chart).map((sweep) => encodeImage(plain, [VENDOR_LAYOUT], sweep))
    })
    const arbImage = fc.oneof(
      { weight: 2, arbitrary: arbPlainImage },
      { weight: 1, arbitrary: arbSweepImage },
    )
    /** Of version 1, of profiles that say nothing else. */
    const arbOldImage = arbRunnable.map(({ repeat, layers, ...profile }) =>
      asVersion1(
        encodeImage({
          ...profile,
          chords: [],
          layers: layers.map((layer) => ({ ...layer, kind: 'held' })),
          repeat: Object.fromEntries(Object.entries(repeat).filter(([, one]) => one.kind === 'reads')),
        }),
      ),
    )
    const arbEitherImage = fc.oneof({ weight: 3, arbitrary: arbImage }, { weight: 1, arbitrary: arbOldImage })

    test('accepts what any profile compiles to, with any pads', async () => {
      const images = many(arbImage, 1_000)
      expect(await compare(images)).toBe(images.length)
    })

    test('accepts images of version 1', async () => {
      const images = many(arbOldImage, 500)
      expect(await compare(images)).toBe(images.length)
    })

    test('agrees on random bytes', async () => {
      await compare(many(fc.uint8Array({ maxLength: 2_060 }), 2_000))
    })

    test(`agrees on 5 000 good images with damage, length and CRC made good (seed ${seed})`, async () => {
      const arbDamage = fc.array(
        fc.record({
          kind: fc.constantFrom('change', 'change', 'bit', 'code', 'insert', 'drop', 'cut', 'double'),
          at: fc.nat(),
          length: fc.integer({ min: 1, max: 12 }),
          byte: fc.oneof(fc.nat(255), fc.nat(16)),
        }),
        { minLength: 1, maxLength: 3 },
      )
      // The bytes that say how the rest is read are hit as often as all others together.
      const HEAD = [4, 5, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 53, 54, 55]
      const arb = fc.tuple(arbEitherImage, arbDamage, fc.boolean()).map(([image, damage, inHead]) => {
        let list = [...image]
        for (const { kind, at, length, byte } of damage) {
          const place = inHead ? (HEAD[at % HEAD.length] ?? 0) : at % Math.max(1, list.length - 4)
          if (kind === 'change') list[place] = byte
          else if (kind === 'bit') list[place] = (list[place] ?? 0) ^ (1 << (byte & 7))
          else if (kind === 'code') list[place] = ((list[place] ?? 0) + 1) & 0xff
          else if (kind === 'insert') list.splice(place, 0, byte)
          else if (kind === 'drop') list.splice(place, length)
          else if (kind === 'cut') list = list.slice(0, Math.max(place, 12))
          else list.splice(place, 0, ...list.slice(place, place + length))
        }
        const bytes = Uint8Array.from(list)
        if (bytes.length >= 12) new DataView(bytes.buffer).setUint16(AT.length, bytes.length, true)
        return bytes.length >= 12 ? sealed(bytes) : bytes
      })
      const images = many(arb, 5_000)
      const accepted = await compare(images)
      console.log(
        `image_check: ${accepted} of ${images.length} damaged images are sound by chance, seed ${seed}`,
      )
      expect(accepted).toBeGreaterThan(200)
      expect(accepted).toBeLessThan(images.length - 200)
    })

    test('agrees on every count of layers, rules and changes, whatever follows', async () => {
      const counts = [AT.cycles, AT.after, AT.opposite, AT.layers, AT.powerOnRules, AT.bankChanges]
      const images = many(arbEitherImage, 60).flatMap((image) =>
        [...counts, AT.version, AT.pads, AT.chords].flatMap((at) =>
          Array.from({ length: 18 }, (_, value) => sealed(image.with(at, value))),
        ),
      )
      await compare(images)
    })

    test('agrees on every byte of sticks, chords and pads, whatever stands there', async () => {
      const profile: Profile = {
        ...BUILT_IN_PROFILES['three-button'],
        chords: [{ held: ['face-south', 'face-east'], withinMs: 40, inputs: ['start'] }],
        repeat: { a: { kind: 'time', pressedMs: 20, releasedMs: 30 } },
      }
      // On either side of every bound that a byte has here.
      const VALUES = [
        0, 1, 2, 3, 4, 5, 6, 8, 9, 16, 19, 20, 21, 31, 32, 33, 40, 41, 50, 51, 63, 64, 65, 90, 91, 95, 96,
        100,
      ]
      VALUES.push(101, 127, 128, 129, 140, 160, 161, 250, 251, 255)
      const field = { report: 3, bit: 500, bits: 12, signed: false }
      const pad: Layout = {
        ...VENDOR_LAYOUT,
        pad: { via: 'hid', vendorId: 1, productId: 2, descriptorCrc32: null },
        extractors: [
          { kind: 'threshold', control: 'centre', field, press: 1, release: 0 },
          { kind: 'array', control: 'centre', field: { ...field, bit: 0 }, count: 42, value: 3 },
          { kind: 'hat', cross: 'dpad', field, first: 0, step: 1, positions: 8 },
          { kind: 'axis', stick: 'left', axis: 'x', field, low: 0, centre: 2048, high: 4095 },
          { kind: 'axis', stick: 'left', axis: 'y', field, low: 9, centre: -5, high: -6 },
        ],
      }
      const image = encodeImage(profile, [pad])
      const bare = encodeImage(profile).length - 4 - 8 - 32 - 4
      const images = Array.from({ length: image.length - 4 - bare }, (_, k) => bare + k).flatMap((at) =>
        VALUES.map((value) => sealed(image.with(at, value))),
      )
      expect(await compare(images)).toBeGreaterThan(images.length / 10)
    })

    // What TypeScript works out a small chip cannot; it refuses what its arithmetic would not bear.
    test('refuses a stick that is let go at 0, or leaves its diagonal at 0', async () => {
      const image = encodeImage(BUILT_IN_PROFILES['three-button'])
      // Without chords and pads the two sticks stand before the CRC; release is at 8 of each, leave at 14.
      const stick = image.length - 4 - 32
      const zeroed = [8, 14].map((at) => sealed(image.with(stick + at, 0).with(stick + at + 1, 0)))
      const answers = await ask(
        'k',
        [image, ...zeroed].reduce((all, one) => all.counted(one), new Message()).done(),
      )
      expect([...answers]).toEqual([1, 0, 0])
    })

    test('counts the extractors of all pads', async () => {
      const padOf = (count: number): Layout => ({
        ...VENDOR_LAYOUT,
        extractors: Array.from({ length: count }, (_, bit) => ({
          kind: 'threshold',
          control: 'centre',
          field: { report: 0, bit, bits: 1, signed: false },
          press: 1,
          release: 0,
        })),
      })
      const bare = encodeImage(BUILT_IN_PROFILES['three-button'])
      // The encoder refuses what finds no room, so the pads are put behind one another here.
      const images = [[40], [41], [40, 24], [40, 25], [1, 1, 1, 1], [1, 1, 1, 1, 1], [16, 16, 16, 16]].map(
        (sizes) => {
          const entries = sizes.flatMap((size) => [...encodePad(padOf(size))])
          const image = Uint8Array.from([...bare.subarray(0, -4), ...entries, 0, 0, 0, 0])
          image[AT.pads] = sizes.length
          new DataView(image.buffer).setUint16(AT.length, image.length, true)
          return sealed(image)
        },
      )
      const answers = await ask('k', images.reduce((all, image) => all.counted(image), new Message()).done())
      expect([...answers]).toEqual([1, 0, 1, 0, 1, 0, 1])
      await compare(images)
    })

    test('agrees on names: 6 000 of bytes around the edges of UTF-8', async () => {
      const EDGES = [0x00, 0x1f, 0x20, 0x41, 0x7f, 0x80, 0x85, 0x8a, 0x9f, 0xa0, 0xa8, 0xaf, 0xbb, 0xbf]
      const LEADS = [0xc1, 0xc2, 0xdf, 0xe0, 0xe1, 0xe2, 0xe3, 0xed, 0xee, 0xef, 0xf0, 0xf1, 0xf4, 0xf5, 0xff]
      const arbByte = fc.constantFrom(...EDGES, ...LEADS)
      const BLANKS = [
        '\u00a0',
        '\u1680',
        '\u2000',
        '\u200a',
        '\u200b',
        '\u2028',
        '\u202f',
        '\u205f',
        '\u3000',
        '\ufeff',
      ]
      const arbText = fc
        .array(fc.constantFrom(...BLANKS, ' ', 'a', 'é', '鐘', '\u{10ffff}', '\ud7ff', '\ue000', '\u0085'), {
          maxLength: 9,
        })
        .map((parts) => [...Buffer.from(parts.join(''))].slice(0, NAME_ROOM))
      const arbName = fc.oneof(
        fc.array(arbByte, { maxLength: NAME_ROOM }),
        fc.array(arbByte, { maxLength: 4 }),
        arbText,
      )
      const base = encodeImage(BUILT_IN_PROFILES['six-button'])
      const images = many(arbName, 6_000).map((name) => {
        const image = base.slice().fill(0, AT.name, AT.name + NAME_ROOM)
        image[AT.nameBytes] = name.length
        image.set(name, AT.name)
        return sealed(image)
      })
      expect(await compare(images)).toBeGreaterThan(200)
    })

    test('agrees on every idle reset and delay about the bounds', async () => {
      const base = encodeImage(BUILT_IN_PROFILES['three-button'])
      const withU32 = (at: number, value: number, bytes: number) => {
        const image = base.slice()
        for (let k = 0; k < bytes; k++) image[at + k] = (value >>> (8 * k)) & 0xff
        return sealed(image)
      }
      const idle = [0, 9_999, 10_000, 10_001, 99_999_999, 100_000_000, 100_000_001, 0xffffffff]
      const images = idle.map((value) => withU32(AT.idleResetNs, value, 4))
      for (let delay = 0; delay < 70; delay++) images.push(withU32(AT.delayNs, delay, 2))
      for (const delay of [1_992, 2_000, 2_001, 2_008, 0xffff]) images.push(withU32(AT.delayNs, delay, 2))
      // 0, 8 … 56 ns: the three free bits of the reply engine, at 8 ns each.
      expect(await compare(images)).toBe(4 + 8)
    })
  })
})
