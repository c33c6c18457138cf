import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CONTROLS } from '../../src/pad/controls.ts'
import { CELLS } from '../../src/port/chart.ts'
import { SIX_BUTTON_CHART } from '../../src/port/family.ts'
import { INPUTS } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { decodeImage, imageSentence } from '../../src/profile/decode-image.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { IMAGE_MAX_BYTES } from '../../src/profile/image-layout.ts'
import { loadImage } from '../../src/profile/run-image.ts'
import { LIMITS } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { arbProfile } from '../arbitraries.ts'
import { IMAGE_PAGE, doctored, sealed } from './image-bytes.ts'

const SIX = BUILT_IN_PROFILES['six-button']
const THREE = BUILT_IN_PROFILES['three-button']

const decode = (image: Uint8Array): Profile => {
  const result = decodeImage(image)
  if (!result.ok) throw new Error(imageSentence(result.error))
  return result.value
}
const sentence = (image: Uint8Array): string => {
  const result = decodeImage(image)
  if (result.ok) throw new Error('this was to be refused')
  expect(loadImage(image)).toEqual(result)
  return imageSentence(result.error)
}
const hex = (bytes: Iterable<number>): string[] =>
  [...bytes].map((byte) => byte.toString(16).toUpperCase().padStart(2, '0'))

const everyInput = <T>(value: T) =>
  Object.fromEntries(INPUTS.map((input) => [input, value])) as Record<Input, T>

/** A profile in which every list is as long as it may be. */
const FULLEST: Profile = {
  ...SIX,
  name: '🪔'.repeat(8),
  repeat: everyInput({ pressedReads: 255, releasedReads: 255 }),
  mapping: everyInput([...CONTROLS]),
  layers: Array.from({ length: LIMITS.layers }, () => ({
    while: [...CONTROLS],
    mapping: everyInput([...CONTROLS]),
  })),
  powerOn: Array.from({ length: LIMITS.powerOnRules }, () => ({
    held: [...CONTROLS],
    then: { kind: 'bank', bank: 4 },
  })),
  bankChange: Array.from({ length: LIMITS.bankChanges }, () => ({
    held: [...CONTROLS],
    forMs: 10_000,
    bank: 'previous',
  })),
  chart: {
    cycles: [...SIX_BUTTON_CHART.cycles, ...SIX_BUTTON_CHART.cycles].slice(0, 6),
    after: { kind: 'start-again' },
  },
}

describe('the page that specifies the image', () => {
  it('shows the true bytes of a worked example', () => {
    const dump = /## Worked example[^]*?```\n([^]*?)```/.exec(IMAGE_PAGE)?.[1] ?? ''
    const rows = dump.trimEnd().split('\n')
    const bytes = rows.flatMap((row) => row.slice(5).split(' '))
    expect(rows.map((row) => row.slice(0, 3))).toEqual(
      rows.map((_, k) => (16 * k).toString(16).padStart(3, '0')),
    )
    expect(bytes).toEqual(hex(encodeImage(THREE)))
  })

  it('numbers the cells, the controls and the inputs as the code does', () => {
    const page = IMAGE_PAGE.replace(/\s+/g, ' ')
    expect(page).toContain(
      `${INPUTS.map((input, k) => `${k} ${input}`).join(', ')}; ${CELLS.indexOf('low')} fixed low; ${CELLS.indexOf('high')} fixed high;`,
    )
    const controls = /\*\*Controls\*\*: (.*?)\./.exec(page)?.[1] ?? ''
    const single = [...controls.matchAll(/(?:^|, )(\d+) ([a-z-]+)/g)].map(([, k, name]) => [Number(k), name])
    expect(single).toEqual(CONTROLS.slice(0, 17).map((control, k) => [k, control]))
    expect(controls).toContain(
      '17–20 stick-left up, down, left, right, 21–24 stick-right up, down, left, right, 25–31 extra-1 to extra-7',
    )
    expect(CONTROLS.slice(17)).toEqual([
      ...['left', 'right'].flatMap((side) =>
        ['up', 'down', 'left', 'right'].map((way) => `stick-${side}-${way}`),
      ),
      ...[1, 2, 3, 4, 5, 6, 7].map((k) => `extra-${k}`),
    ])
  })

  it('states the longest image', () => {
    const longest = Number(/The longest image of version 1 has (\d+) bytes/.exec(IMAGE_PAGE)?.[1])
    expect(encodeImage(FULLEST).length).toBe(longest)
    expect(decode(encodeImage(FULLEST))).toEqual({ ...FULLEST, notes: '' })
    expect(longest).toBeLessThanOrEqual(IMAGE_MAX_BYTES)
    fc.assert(fc.property(arbProfile, (profile) => encodeImage(profile).length <= longest))
  })
})

/** Field by field from the table of IMAGE.md, by plain arithmetic on the bytes. */
it('every field stands where the page says', () => {
  fc.assert(
    fc.property(arbProfile, (profile) => {
      const image = encodeImage(profile)
      const number = (at: number, bytes: number) =>
        Array.from({ length: bytes }, (_, k) => (image[at + k] as number) * 256 ** k).reduce(
          (a, b) => a + b,
          0,
        )
      const bits = (names: readonly string[], list: readonly string[]) =>
        names.reduce((sum, name) => sum + 2 ** list.indexOf(name), 0)
      const { chart } = profile

      expect(String.fromCharCode(...image.subarray(0, 4))).toBe('N9PI')
      expect([...image.subarray(4, 6)]).toEqual([1, 0])
      expect(number(6, 2)).toBe(image.length)
      expect(image.length % 4).toBe(0)
      expect(number(8, 4)).toBe(profile.idleResetNs)
      expect(number(12, 2)).toBe(profile.delayNs)
      expect(image[14]).toBe(chart.cycles.length)
      expect(image[15]).toBe(chart.after.kind === 'stay' ? 1 : 0)
      const policies = ['as-held', 'neutral', 'first', 'last']
      expect(image[16]).toBe(
        policies.indexOf(profile.opposite.vertical) + 4 * policies.indexOf(profile.opposite.horizontal),
      )
      expect([...image.subarray(17, 20)]).toEqual(
        [profile.layers, profile.powerOn, profile.bankChange].map((l) => l.length),
      )
      const nameBytes = Buffer.from(profile.name, 'utf8')
      expect(image[20]).toBe(nameBytes.length)
      expect(hex(image.subarray(21, 56))).toEqual(
        hex([...nameBytes, ...Array<number>(35 - nameBytes.length).fill(0)]),
      )
      INPUTS.forEach((input, k) => {
        expect(image[56 + 2 * k]).toBe(profile.repeat[input]?.pressedReads ?? 0)
        expect(image[57 + 2 * k]).toBe(profile.repeat[input]?.releasedReads ?? 0)
        expect(number(80 + 4 * k, 4)).toBe(bits(profile.mapping[input], CONTROLS))
      })
      const rows = chart.after.kind === 'stay' ? [...chart.cycles, chart.after.reply] : chart.cycles
      rows.forEach((row, k) => {
        const code = (cell: string) => [...INPUTS, 'low', 'high'].indexOf(cell)
        for (const [phase, at] of [
          [row.high, 128 + 6 * k],
          [row.low, 131 + 6 * k],
        ] as const) {
          expect(image[at]).toBe(code(phase[1]) + 16 * code(phase[2]))
          expect(image[at + 1]).toBe(code(phase[3]) + 16 * code(phase[4]))
          expect(image[at + 2]).toBe(code(phase[6]) + 16 * code(phase[9]))
        }
      })
      let at = 128 + 6 * rows.length
      if (at % 4 !== 0) {
        expect(number(at, 2)).toBe(0)
        at += 2
      }
      for (const layer of profile.layers) {
        const named = INPUTS.filter((input) => layer.mapping[input])
        expect([number(at, 4), number(at + 4, 2), number(at + 6, 2)]).toEqual([
          bits(layer.while, CONTROLS),
          bits(named, INPUTS),
          0,
        ])
        at += 8
        for (const input of named) {
          expect(number(at, 4)).toBe(bits(layer.mapping[input] ?? [], CONTROLS))
          at += 4
        }
      }
      for (const { held, then } of profile.powerOn) {
        expect([number(at, 4), number(at + 4, 4)]).toEqual([
          bits(held, CONTROLS),
          then.kind === 'bank' ? then.bank : 0,
        ])
        at += 8
      }
      for (const { held, forMs, bank } of profile.bankChange) {
        const code = bank === 'next' ? 5 : bank === 'previous' ? 6 : bank
        expect([number(at, 4), number(at + 4, 2), number(at + 6, 2)]).toEqual([
          bits(held, CONTROLS),
          forMs,
          code,
        ])
        at += 8
      }
      expect(at).toBe(image.length - 4)
    }),
    { numRuns: 200 },
  )
})

describe('profile to image and back', () => {
  it('gives the same profile without its notes', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        expect(decode(encodeImage(profile))).toEqual({ ...profile, notes: '' })
      }),
      { numRuns: 1_000 },
    )
  })

  it('gives the same bytes again', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        const image = encodeImage(profile)
        expect(encodeImage(decode(image))).toEqual(image)
      }),
    )
  })

  it('notes make no difference, anything else does', () => {
    fc.assert(
      fc.property(arbProfile, arbProfile, (one, other) => {
        const bare = (profile: Profile) => JSON.stringify({ ...decode(encodeImage(profile)), notes: '' })
        expect(encodeImage({ ...one, notes: other.notes })).toEqual(encodeImage(one))
        expect(Buffer.compare(encodeImage(one), encodeImage(other)) === 0).toBe(bare(one) === bare(other))
      }),
    )
  })

  it('reads an image that lies within a larger buffer', () => {
    const image = encodeImage(SIX)
    const shelf = new Uint8Array(image.length + 16)
    shelf.set(image, 9)
    const within = shelf.subarray(9, 9 + image.length)
    expect(decode(within)).toEqual({ ...SIX, notes: '' })
    // A small Buffer of Node lies within a pool, and its `slice` is no copy.
    const pooled = Buffer.concat([Buffer.from(image)])
    for (const bytes of [within, pooled]) {
      const loaded = loadImage(bytes)
      if (!loaded.ok) throw new Error(imageSentence(loaded.error))
      expect(loaded.value.idleResetNs).toBe(SIX.idleResetNs)
      expect(loaded.value.pinsAt(2, 'low')).toBe(0b110000)
      bytes.fill(0)
      expect(loaded.value.pinsAt(2, 'low')).toBe(0b110000)
    }
  })
})

describe('what is not an image', () => {
  it('every flip of a single byte is refused', () => {
    const images = [encodeImage(THREE), encodeImage(SIX), encodeImage(FULLEST)]
    for (const image of images) {
      image.forEach((byte, at) => {
        for (const flip of [1, 0x80, 0xff]) {
          const wrong = image.with(at, byte ^ flip)
          expect(decodeImage(wrong).ok, `byte ${at} with ${flip}`).toBe(false)
        }
      })
    }
    fc.assert(
      fc.property(arbProfile, fc.nat(), fc.integer({ min: 1, max: 255 }), (profile, at, flip) => {
        const image = encodeImage(profile)
        const place = at % image.length
        return !decodeImage(image.with(place, (image[place] as number) ^ flip)).ok
      }),
      { numRuns: 1_000 },
    )
  })

  it('every beginning of an image is refused as cut off', () => {
    for (const image of [encodeImage(THREE), encodeImage(FULLEST)]) {
      for (let length = 0; length < image.length; length++) {
        expect(sentence(image.subarray(0, length))).toMatch(
          length === 0 ? /^byte 0: the file is empty$/ : new RegExp(`^byte ${length}: the image is cut off`),
        )
      }
    }
  })

  it('with the CRC made good, a change is refused or means exactly what it says', () => {
    const change = fc.record({
      at: fc.nat(),
      byte: fc.oneof(fc.nat(255), fc.nat(15), fc.constantFrom(0, 1, 255)),
    })
    let accepted = 0
    fc.assert(
      fc.property(arbProfile, fc.array(change, { minLength: 1, maxLength: 4 }), (profile, changes) => {
        const image = encodeImage(profile)
        const wrong = doctored(
          image,
          Object.fromEntries(changes.map(({ at, byte }) => [at % (image.length - 4), byte])),
        )
        const result = decodeImage(wrong)
        if (!result.ok) return
        accepted += 1
        expect(encodeImage(result.value)).toEqual(wrong)
      }),
      { numRuns: 5_000 },
    )
    expect(accepted).toBeGreaterThan(500)
  })

  const image = encodeImage({
    ...SIX,
    layers: [{ while: ['centre'], mapping: { a: ['face-south'] } }],
    repeat: { c: { pressedReads: 1, releasedReads: 1 } },
    bankChange: [{ held: ['centre'], forMs: 1_000, bank: 'next' }],
  })
  // 128 + 5 rows of 6 bytes, filled up to 160; a layer of 12; a rule of 8; a bank change of 8; the CRC.
  const LAYER = 160
  const RULE = LAYER + 12
  const CHANGE = RULE + 8
  const END = CHANGE + 8

  it('has the shape that the table below counts on', () => {
    expect(image.length).toBe(END + 4)
    expect(decodeImage(image).ok).toBe(true)
  })

  const name = (...bytes: number[]) =>
    Object.fromEntries([
      [20, bytes.length],
      ...bytes.map((byte, k) => [21 + k, byte]),
      ...Array.from({ length: 32 - bytes.length }, (_, k) => [21 + bytes.length + k, 0]),
    ])

  it.each<[string, Uint8Array, string]>([
    ['an empty file', new Uint8Array(), 'byte 0: the file is empty'],
    [
      'some other file',
      new TextEncoder().encode('{"format":1}'),
      'byte 0: this is not a profile image: it does not begin with N9PI',
    ],
    ['a file too long', new Uint8Array(513), 'byte 512: the file has 513 bytes; an image has 512 at most'],
    [
      'a version to come',
      doctored(image, { 4: 2 }),
      'byte 4: the image has version 2; this Ninepin reads version 1 only',
    ],
    ['another family', doctored(image, { 5: 1 }), 'byte 5: port family 1 is not known'],
    [
      'a cut end',
      image.subarray(0, END),
      `byte ${END}: the image is cut off: it says it has ${END + 4} bytes`,
    ],
    [
      'something behind',
      Uint8Array.from([...image, 0]),
      `byte ${END + 4}: there is something behind the end of the image`,
    ],
    ['damage', image.with(30, 0x41), `byte ${END}: the CRC does not match: the image is damaged`],
    [
      'an idle reset too short',
      doctored(image, { 8: 0, 9: 0, 10: 0 }),
      'byte 8: a whole number from 10000 to 100000000 ns is needed; this is 0',
    ],
    [
      'a delay too long',
      doctored(image, { 12: 0xd1, 13: 7 }),
      'byte 12: the adapter delays by a multiple of 8 ns, 56 at most; this is 2001',
    ],
    ['no cycle', doctored(image, { 14: 0 }), 'byte 14: one cycle at the least is needed'],
    ['six cycles and stay', doctored(image, { 14: 6 }), 'byte 14: the number of cycles is 6; 5 at most'],
    ['seven cycles', doctored(image, { 14: 7, 15: 0 }), 'byte 14: the number of cycles is 7; 6 at most'],
    [
      'something else after',
      doctored(image, { 15: 2 }),
      'byte 15: the code for after the last cycle is 2; 1 at most',
    ],
    [
      'opposite bits',
      doctored(image, { 16: 0x10 }),
      'byte 16: the code for opposite directions is 16; 15 at most',
    ],
    ['five layers', doctored(image, { 17: 5 }), 'byte 17: the number of layers is 5; 4 at most'],
    ['five rules', doctored(image, { 18: 5 }), 'byte 18: the number of power-on rules is 5; 4 at most'],
    ['nine changes', doctored(image, { 19: 9 }), 'byte 19: the number of bank changes is 9; 8 at most'],
    [
      'counts beyond the end',
      doctored(image, { 19: 8 }),
      `byte ${END}: the counts ask for more than the image holds`,
    ],
    [
      'counts before the end',
      doctored(image, { 19: 0 }),
      `byte ${CHANGE}: there is more in the image than its counts say`,
    ],
    [
      'a name too long',
      doctored(image, { 20: 33 }),
      'byte 20: the length of the name in bytes is 33; 32 at most',
    ],
    ['no name', doctored(image, name()), 'byte 21: a name is needed'],
    ['a name of a blank', doctored(image, name(0x20)), 'byte 21: a name is needed'],
    [
      'a name with a line end',
      doctored(image, name(0x41, 0x0a, 0x41)),
      'byte 21: a name stands on one line, without control characters',
    ],
    ['a name that is not UTF-8', doctored(image, name(0x41, 0xff)), 'byte 21: the name is not UTF-8'],
    [
      'a name with a byte order mark',
      doctored(image, name(0xef, 0xbb, 0xbf, 0x41)),
      'byte 21: a name has no blank at its start or end',
    ],
    ['something behind the name', doctored(image, { 52: 1 }), 'byte 52: this byte must be zero'],
    ['something in the gap', doctored(image, { 55: 1 }), 'byte 55: this byte must be zero'],
    [
      'a repeat without a pause',
      doctored(image, { 69: 0 }),
      'byte 68: the repeat of c lacks its released reads',
    ],
    [
      'a repeat without a press',
      doctored(image, { 68: 0 }),
      'byte 68: the repeat of c lacks its pressed reads',
    ],
    ['cell code 14', doctored(image, { 128: 0x1e }), 'byte 128: pin 1 carries a code that does not exist'],
    ['cell code 15', doctored(image, { 129: 0xf2 }), 'byte 129: pin 4 carries a code that does not exist'],
    ['something behind the chart', doctored(image, { 158: 1 }), 'byte 158: this byte must be zero'],
    [
      'a layer that nothing turns on',
      doctored(image, { [LAYER + 2]: 0 }),
      `byte ${LAYER}: one control at the least is needed`,
    ],
    [
      'a thirteenth input',
      doctored(image, { [LAYER + 5]: 0x10 }),
      `byte ${LAYER + 4}: an input is named that does not exist`,
    ],
    [
      'something in a layer',
      doctored(image, { [LAYER + 7]: 1 }),
      `byte ${LAYER + 7}: this byte must be zero`,
    ],
    [
      'a rule without controls',
      doctored(image, { [RULE]: 0, [RULE + 1]: 0 }),
      `byte ${RULE}: one control at the least is needed`,
    ],
    ['a rule for bank 5', doctored(image, { [RULE + 4]: 5 }), `byte ${RULE + 4}: the bank is 5; 4 at most`],
    ['something in a rule', doctored(image, { [RULE + 5]: 1 }), `byte ${RULE + 5}: this byte must be zero`],
    [
      'a change without controls',
      doctored(image, { [CHANGE + 2]: 0 }),
      `byte ${CHANGE}: one control at the least is needed`,
    ],
    [
      'a hold too long',
      doctored(image, { [CHANGE + 4]: 0x11, [CHANGE + 5]: 0x27 }),
      `byte ${CHANGE + 4}: the time to hold is 10001 ms; 10000 at most`,
    ],
    ['a change to bank 0', doctored(image, { [CHANGE + 6]: 0 }), `byte ${CHANGE + 6}: there is no bank 0`],
    [
      'a change to bank 7',
      doctored(image, { [CHANGE + 6]: 7 }),
      `byte ${CHANGE + 6}: the code of the bank is 7; 6 at most`,
    ],
    [
      'something in a change',
      doctored(image, { [CHANGE + 7]: 1 }),
      `byte ${CHANGE + 7}: this byte must be zero`,
    ],
  ])('%s', (_, wrong, said) => {
    expect(sentence(wrong)).toBe(said)
  })

  it('a name may begin or end with anything but the blanks that the page lists', () => {
    const listed = /without a blank at either end\s*\(([^)]*)\)/.exec(IMAGE_PAGE)?.[1] ?? ''
    const blanks = new Set(
      listed.split(', ').flatMap((range) => {
        const [from = 0, to = from] = range
          .split('–')
          .map((point) => Number.parseInt(point.replace('U+', ''), 16))
        return Array.from({ length: to - from + 1 }, (_, k) => from + k)
      }),
    )
    expect(blanks.size).toBeGreaterThan(10)
    const refused = new Set<number>()
    for (let point = 0xa0; point < 0x1_0000; point++) {
      // Whatever is no mark on paper, and every hundredth of the rest.
      if (!/[\s\p{Z}\p{Cc}\p{Cf}]/u.test(String.fromCodePoint(point)) && point % 100 !== 0) continue
      if (point >= 0xd800 && point < 0xe000) continue
      const bytes = [...Buffer.from(`x${String.fromCodePoint(point)}`, 'utf8')]
      if (!decodeImage(doctored(image, name(...bytes))).ok) refused.add(point)
    }
    expect([...refused, 0x20].sort()).toEqual([...blanks].sort())
    expect(decodeImage(doctored(image, name(0x20, 0x78))).ok).toBe(false)
  })

  it('the largest CRC-sound length still has its counts checked', () => {
    const padded = new Uint8Array(512)
    padded.set(image.subarray(0, END))
    padded[6] = 0
    padded[7] = 2
    expect(sentence(sealed(padded))).toBe(`byte ${END}: there is more in the image than its counts say`)
  })
})
