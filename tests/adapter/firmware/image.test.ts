import { createRequire } from 'node:module'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { controlMask } from '../../../src/pad/controls.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { crc32 } from '../../../src/document/crc32.ts'
import { decodeImage } from '../../../src/profile/decode-image.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { AT, NAME_ROOM } from '../../../src/profile/image-layout.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { sealed } from '../../profile/image-bytes.ts'
import { describeWith } from '../../tools.ts'
import { arbRunnable, compareHands } from './hands-reference.ts'
import { HOST_COMPILER, HostProgram, Message } from './host-program.ts'

let host: HostProgram

describeWith('images in C', [HOST_COMPILER], () => {
  beforeAll(() => {
    host = HostProgram.start('image-host.c', ['image.c', 'hands.c', 'crc32.c', 'cobs.c'])
  })
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
        { numRuns: 500 },
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
        { numRuns: 2_000 },
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
          { numRuns: 2_000 },
        )
      })
    })
  })

  describe('image_check', () => {
    /** Sends images in one question and compares every answer with `decodeImage`. @returns how many were accepted */
    async function compare(images: readonly Uint8Array[]): Promise<number> {
      const answers = await ask('k', images.reduce((all, image) => all.counted(image), new Message()).done())
      expect(answers).toHaveLength(images.length)
      let accepted = 0
      images.forEach((image, k) => {
        const decoded = decodeImage(image)
        if ((answers[k] === 1) !== decoded.ok) {
          const said = decoded.ok
            ? 'accepted'
            : `refused (byte ${decoded.error.byte}: ${decoded.error.message})`
          throw new Error(`${said} in TypeScript, not so in C: ${Buffer.from(image).toString('hex')}`)
        }
        accepted += answers[k] ?? 0
      })
      return accepted
    }

    const seed = Number(process.env['NINEPIN_SEED'] ?? Date.now() & 0x7fffffff)
    const many = <T>(arb: fc.Arbitrary<T>, numRuns: number) => fc.sample(arb, { numRuns, seed })

    test('accepts the built-in profiles', async () => {
      const images = Object.values(BUILT_IN_PROFILES).map(encodeImage)
      expect(await compare(images)).toBe(images.length)
    })

    test('accepts what any profile compiles to', async () => {
      const images = many(arbRunnable, 2_000).map(encodeImage)
      expect(await compare(images)).toBe(images.length)
    })

    test('agrees on random bytes', async () => {
      await compare(many(fc.uint8Array({ maxLength: 520 }), 2_000))
    })

    test(`agrees on 12 000 good images with damage, length and CRC made good (seed ${seed})`, async () => {
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
      const HEAD = [4, 5, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 53]
      const arb = fc.tuple(arbRunnable, arbDamage, fc.boolean()).map(([profile, damage, inHead]) => {
        let list = [...encodeImage(profile)]
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
      const images = many(arb, 12_000)
      const accepted = await compare(images)
      console.log(
        `image_check: ${accepted} of ${images.length} damaged images are sound by chance, seed ${seed}`,
      )
      expect(accepted).toBeGreaterThan(500)
      expect(accepted).toBeLessThan(images.length - 500)
    })

    test('agrees on every count of layers, rules and changes, whatever follows', async () => {
      const images = many(arbRunnable, 40).flatMap((profile) => {
        const image = encodeImage(profile)
        return [AT.cycles, AT.after, AT.opposite, AT.layers, AT.powerOnRules, AT.bankChanges].flatMap((at) =>
          Array.from({ length: 18 }, (_, value) => sealed(image.with(at, value))),
        )
      })
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

  describe('hands', () => {
    const RUNS = 3_000

    test(`do what the image means: ${RUNS} random images, hands and times`, async () => {
      await compareHands((message) => host.ask(message), RUNS)
    })

    const settled = (profile: Profile, held: number) => {
      const image = encodeImage(profile)
      return new Message()
        .bytes(Buffer.from('h'))
        .u8(1)
        .counted(image)
        .bytes(Buffer.from('r'))
        .u32(0)
        .u32(held)
    }

    test('nothing is pressed before 500 ms have passed since the first report', async () => {
      const profile = BUILT_IN_PROFILES['three-button']
      const held = controlMask(['dpad-up'])
      const message = settled(profile, held)
      for (const nowMs of [1, 499, 500]) message.bytes(Buffer.from('t')).u32(nowMs)
      const STATE = 3 + 16
      const answer = await host.ask(message.done())
      const inputs = [0, 1, 2, 3].map((k) => answer[7 + k * STATE])
      expect(inputs).toEqual([0, 0, 0, 1])
    })

    test('the clock may wrap', async () => {
      const image = encodeImage(BUILT_IN_PROFILES['three-button'])
      const message = new Message().bytes(Buffer.from('h')).u8(1).counted(image)
      message
        .bytes(Buffer.from('r'))
        .u32(0xffffff00)
        .u32(controlMask(['dpad-down']))
      message.bytes(Buffer.from('t')).u32(0xf3).bytes(Buffer.from('t')).u32(0xf4)
      const answer = await host.ask(message.done())
      expect([answer[7], answer[7 + 19], answer[7 + 38]]).toEqual([0, 0, 2])
    })
  })
})
