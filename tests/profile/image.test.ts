import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CONTROLS } from '../../src/pad/controls.ts'
import type { Layout } from '../../src/pad/layout/schema.ts'
import { CELLS } from '../../src/port/chart.ts'
import { SIX_BUTTON_CHART } from '../../src/port/family.ts'
import { INPUTS } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { decodeImage, imageSentence, layoutsOfImage } from '../../src/profile/decode-image.ts'
import { checkLayouts, encodeImage } from '../../src/profile/encode-image.ts'
import { IMAGE_MAX_BYTES } from '../../src/profile/image-layout.ts'
import { loadImage } from '../reference/profile/run-image.ts'
import { fitLayouts } from '../../src/profile/fit-layouts.ts'
import { LIMITS } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { arbProfile } from '../arbitraries.ts'
import { arbitraryLayout } from '../pad/arbitrary-layout.ts'
import { IMAGE_PAGE, doctored, sealed } from './image-bytes.ts'
import { draws, often } from '../draws.ts'

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
  repeat: everyInput({ kind: 'time', pressedMs: 255, releasedMs: 255 }),
  chords: Array.from({ length: LIMITS.chords }, () => ({
    held: [...CONTROLS],
    withinMs: 250,
    inputs: [...INPUTS],
  })),
  mapping: everyInput([...CONTROLS]),
  layers: Array.from({ length: LIMITS.layers }, () => ({
    kind: 'toggled',
    by: [...CONTROLS],
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

/** A pad with an extractor of each kind. */
const LAMP_PAD: Layout = {
  format: 'ninepin-layout',
  version: 1,
  name: 'Lamp pad',
  notes: '',
  pad: { via: 'hid', vendorId: 0x1209, productId: 1, descriptorCrc32: null },
  extractors: [
    {
      kind: 'threshold',
      control: 'face-south',
      field: { report: 0, bit: 40, bits: 8, signed: false },
      press: 128,
      release: 100,
    },
    {
      kind: 'array',
      control: 'face-east',
      field: { report: 0, bit: 48, bits: 8, signed: false },
      count: 3,
      value: 7,
    },
    {
      kind: 'hat',
      cross: 'dpad',
      field: { report: 0, bit: 32, bits: 4, signed: false },
      first: 1,
      step: 1,
      positions: 8,
    },
    {
      kind: 'axis',
      stick: 'right',
      axis: 'x',
      field: { report: 0, bit: 16, bits: 8, signed: false },
      low: 0,
      centre: 128,
      high: 255,
    },
  ],
}

const manyOf = (count: number) =>
  Array.from({ length: count }, () => LAMP_PAD.extractors[0] as Layout['extractors'][number])

/** As many pads and extractors as an image takes. */
const FULLEST_LAYOUTS: readonly Layout[] = Array.from({ length: 4 }, () => ({
  ...LAMP_PAD,
  name: '🪔'.repeat(8),
  extractors: [0, 1, 2, 3, 4]
    .flatMap(() => LAMP_PAD.extractors.slice(0, 3))
    .concat(LAMP_PAD.extractors[3] ?? []),
}))

/** Layouts that fit into one image. */
const arbLayouts = fc
  .array(arbitraryLayout({ extractors: 20, vias: ['hid', 'vendor'] }), { maxLength: 4 })
  .map((layouts) => fitLayouts(layouts).fit)

/** The five numbers of a stick by the words of the page, with the machine's own functions. */
function numbersOfPage(stick: Profile['sticks']['left']): number[] {
  const { innerPercent: i, outerPercent: o, diagonalPercent: d, hysteresisPercent: h } = stick
  const press = Math.floor((i * o * 32767) / 10000)
  const release = Math.floor(((i - h) * o * 32767) / 10000)
  const radians = Math.PI / 180
  const a = (45 * (100 - d)) / 100
  const delta = Math.asin(Math.min(1, (press - release) / (2 * release))) / radians
  if (d === 0) {
    const leave = Math.floor(32768 * Math.tan((45 - Math.min(delta, 22.5)) * radians))
    return [press, release, 32769, 32769, leave]
  }
  const bound = Math.min(delta, a / 2, (45 - a) / 2)
  const tan = (degrees: number) => 32768 * Math.tan(degrees * radians)
  return [press, release, Math.ceil(tan(a + bound)), Math.ceil(tan(a)), Math.floor(tan(a - bound))]
}

/** Kind, argument, count, and three numbers by the table of the page. */
function codesOfPage(one: Layout['extractors'][number]): number[] {
  switch (one.kind) {
    case 'threshold':
      return [1, CONTROLS.indexOf(one.control), 0, one.press, one.release, 0]
    case 'array':
      return [2, CONTROLS.indexOf(one.control), one.count, one.value, 0, 0]
    case 'hat':
      return [
        3,
        ['dpad', 'stick-left', 'stick-right'].indexOf(one.cross),
        one.positions,
        one.first,
        one.step,
        0,
      ]
    case 'axis':
      return [
        4,
        ['left x', 'left y', 'right x', 'right y'].indexOf(`${one.stick} ${one.axis}`),
        0,
        one.low,
        one.centre,
        one.high,
      ]
  }
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
    const longest = Number(/The longest image without a sweep has (\d+) bytes/.exec(IMAGE_PAGE)?.[1])
    expect(encodeImage(FULLEST, FULLEST_LAYOUTS).length).toBe(longest)
    expect(decode(encodeImage(FULLEST, FULLEST_LAYOUTS))).toEqual({ ...FULLEST, notes: '' })
    expect(decode(encodeImage(FULLEST))).toEqual({ ...FULLEST, notes: '' })
    expect(longest).toBeLessThanOrEqual(IMAGE_MAX_BYTES)
    fc.assert(
      fc.property(
        arbProfile,
        arbLayouts,
        (profile, layouts) => encodeImage(profile, layouts).length <= longest,
      ),
    )
  })
})

/** Field by field from the table of IMAGE.md, by plain arithmetic on the bytes. */
it('every field stands where the page says', () => {
  fc.assert(
    fc.property(arbProfile, arbLayouts, (profile, layouts) => {
      const image = encodeImage(profile, layouts)
      const number = (at: number, bytes: number) =>
        Array.from({ length: bytes }, (_, k) => (image[at + k] as number) * 256 ** k).reduce(
          (a, b) => a + b,
          0,
        )
      const bits = (names: readonly string[], list: readonly string[]) =>
        names.reduce((sum, name) => sum + 2 ** list.indexOf(name), 0)
      const { chart } = profile

      expect(String.fromCharCode(...image.subarray(0, 4))).toBe('N9PI')
      expect([...image.subarray(4, 6)]).toEqual([2, 0])
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
      expect(hex(image.subarray(21, 53))).toEqual(
        hex([...nameBytes, ...Array<number>(32 - nameBytes.length).fill(0)]),
      )
      expect([...image.subarray(53, 56)]).toEqual([layouts.length, profile.chords.length, 0])
      INPUTS.forEach((input, k) => {
        const { kind: _kind, ...steps } = profile.repeat[input] ?? { kind: 'none' }
        expect([...image.subarray(56 + 2 * k, 58 + 2 * k)]).toEqual(
          Object.values(steps).length > 0 ? Object.values(steps) : [0, 0],
        )
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
          bits(layer.by, CONTROLS),
          bits(named, INPUTS),
          layer.kind === 'toggled' ? 1 : 0,
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
      const timed = INPUTS.filter((input) => profile.repeat[input]?.kind === 'time')
      expect([number(at, 2), number(at + 2, 2)]).toEqual([bits(timed, INPUTS), 0])
      at += 4
      for (const stick of [profile.sticks.left, profile.sticks.right]) {
        expect([...image.subarray(at, at + 6)]).toEqual([
          ['circle', 'square', 'octagon'].indexOf(stick.gate),
          stick.innerPercent,
          stick.outerPercent,
          stick.diagonalPercent,
          stick.hysteresisPercent,
          0,
        ])
        expect([0, 1, 2, 3, 4].map((k) => number(at + 6 + 2 * k, 2))).toEqual(numbersOfPage(stick))
        at += 16
      }
      for (const { held, inputs, withinMs } of profile.chords) {
        expect([number(at, 4), number(at + 4, 2), number(at + 6, 2)]).toEqual([
          bits(held, CONTROLS),
          bits(inputs, INPUTS),
          withinMs,
        ])
        at += 8
      }
      for (const { name, pad, extractors } of layouts) {
        const padName = Buffer.from(name, 'utf8')
        expect([number(at, 2), number(at + 2, 2), ...image.subarray(at + 4, at + 8)]).toEqual([
          pad.vendorId,
          pad.productId,
          pad.via === 'hid' ? 0 : 1,
          extractors.length,
          padName.length,
          pad.descriptorCrc32 === null ? 0 : 1,
        ])
        expect(number(at + 8, 4)).toBe(pad.descriptorCrc32 ?? 0)
        expect(hex(image.subarray(at + 12, at + 44))).toEqual(
          hex([...padName, ...Array<number>(32 - padName.length).fill(0)]),
        )
        at += 44
        for (const extractor of extractors) {
          const { report, bit, bits: size, signed } = extractor.field
          expect([image[at + 4], image[at + 5], number(at + 6, 2)]).toEqual([
            report,
            size + (signed ? 128 : 0),
            bit,
          ])
          const signedNumber = (from: number) => {
            const value = number(from, 4)
            return value < 2 ** 31 ? value : value - 2 ** 32
          }
          expect([
            ...image.subarray(at, at + 2),
            number(at + 2, 2),
            ...[8, 12, 16].map((k) => signedNumber(at + k)),
          ]).toEqual(codesOfPage(extractor))
          at += 20
        }
      }
      expect(at).toBe(image.length - 4)
    }),
    { numRuns: draws(200) },
  )
})

describe('profile to image and back', () => {
  it('gives the same profile without its notes', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        expect(decode(encodeImage(profile))).toEqual({ ...profile, notes: '' })
      }),
      { numRuns: draws(1_000) },
    )
  })

  it('gives the same pads, without their notes', () => {
    fc.assert(
      fc.property(arbProfile, arbLayouts, (profile, layouts) => {
        const image = encodeImage(profile, layouts)
        expect(decode(image)).toEqual({ ...profile, notes: '' })
        expect(layoutsOfImage(image)).toEqual(layouts.map((layout) => ({ ...layout, notes: '' })))
      }),
      { numRuns: draws(300) },
    )
  })

  it('pads that do not fit are refused with a sentence, and thrown out by who takes them unasked', () => {
    const gamepad: Layout = { ...LAMP_PAD, pad: { ...LAMP_PAD.pad, via: 'gamepad' } }
    const refused = (layouts: readonly Layout[]) => {
      const checked = checkLayouts(layouts)
      expect(() => encodeImage(SIX, layouts)).toThrow(RangeError)
      return checked.ok ? '' : checked.error
    }
    expect(checkLayouts(FULLEST_LAYOUTS)).toEqual({ ok: true, value: null })
    expect(refused(Array.from({ length: 5 }, () => LAMP_PAD))).toContain('Lamp pad finds no room')
    expect(refused([...FULLEST_LAYOUTS.slice(0, 3), { ...LAMP_PAD, extractors: manyOf(17) }])).toContain('64')
    expect(refused([gamepad])).toContain('Lamp pad is known to the browser only')
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
      { numRuns: draws(1_000) },
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
      fc.property(
        arbProfile,
        arbLayouts,
        fc.array(change, { minLength: 1, maxLength: 4 }),
        (profile, layouts, changes) => {
          const image = encodeImage(profile, layouts)
          const wrong = doctored(
            image,
            Object.fromEntries(changes.map(({ at, byte }) => [at % (image.length - 4), byte])),
          )
          const result = decodeImage(wrong)
          if (!result.ok) return
          accepted += 1
          const read = layoutsOfImage(wrong)
          const again = encodeImage(result.value, read)
          // A character that could reorder a line is read as a question mark; everything else is written as it was read.
          const isAsWritten = ![result.value, ...read].some(({ name }) => name.includes('?'))
          if (isAsWritten) expect(again).toEqual(wrong)
          else expect([decode(again), layoutsOfImage(again)]).toEqual([result.value, read])
        },
      ),
      { numRuns: draws(5_000) },
    )
    expect(accepted).toBeGreaterThan(often(500))
  })

  const image = encodeImage(
    {
      ...SIX,
      layers: [{ kind: 'held', by: ['centre'], mapping: { a: ['face-south'] } }],
      repeat: {
        c: { kind: 'reads', pressedReads: 1, releasedReads: 1 },
        z: { kind: 'time', pressedMs: 9, releasedMs: 7 },
      },
      chords: [{ held: ['face-south', 'face-east'], withinMs: 20, inputs: ['start'] }],
      bankChange: [{ held: ['centre'], forMs: 1_000, bank: 'next' }],
    },
    [LAMP_PAD],
  )
  // 128 + 5 rows of 6 bytes, filled up to 160; a layer of 12; a rule of 8; a bank change of 8; 4 for repeats in ms; two sticks of
  // 16; a chord of 8; a pad of 44 and four extractors of 20; the CRC.
  const LAYER = 160
  const RULE = LAYER + 12
  const CHANGE = RULE + 8
  const IN_MS = CHANGE + 8
  const STICK = IN_MS + 4
  const CHORD = STICK + 32
  const PAD = CHORD + 8
  const EXTRACTOR = PAD + 44
  const END = EXTRACTOR + 80

  it('has the shape that the table below counts on', () => {
    expect(image.length).toBe(END + 4)
    expect(decodeImage(image).ok).toBe(true)
  })

  /** So many bytes of zero, and a length of zero for them. */
  const nothing = (from: number, bytes: number, lengthAt: number) =>
    Object.fromEntries([[lengthAt, 0], ...Array.from({ length: bytes }, (_, k) => [from + k, 0])])

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
    [
      'a file too long',
      new Uint8Array(2049),
      'byte 2048: the file has 2049 bytes; an image has 2048 at most',
    ],
    [
      'a version to come',
      doctored(image, { 4: 4 }),
      'byte 4: the image has version 4; this Ninepin reads versions 1 to 3',
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
      'byte 8: expected a whole number from 10000 to 100000000 ns, found 0',
    ],
    [
      'a delay too long',
      doctored(image, { 12: 0xd1, 13: 7 }),
      'byte 12: the adapter delays by a multiple of 8 ns, 56 at most; this is 2001',
    ],
    ['no cycle', doctored(image, { 14: 0 }), 'byte 14: at least one cycle is needed'],
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
      doctored(image, { 53: 2 }),
      `byte ${END}: the counts ask for more than the image holds`,
    ],
    [
      'counts before the end',
      doctored(image, { 53: 0 }),
      `byte ${PAD}: there is more in the image than its counts say`,
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
      'byte 21: a name cannot start or end with a space',
    ],
    ['something behind the name', doctored(image, { 52: 1 }), 'byte 52: this byte must be zero'],
    [
      'late replies in version 2',
      doctored(image, { 55: 1 }),
      'byte 55: the number of sweeps is 1; 0 at most',
    ],
    ['none in version 3', doctored(image, { 4: 3 }), 'byte 55: version 3 needs late replies'],
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
      `byte ${LAYER}: at least one control is needed`,
    ],
    [
      'a thirteenth input',
      doctored(image, { [LAYER + 5]: 0x10 }),
      `byte ${LAYER + 4}: an input is named that does not exist`,
    ],
    [
      'a kind of layer that is not',
      doctored(image, { [LAYER + 6]: 2 }),
      `byte ${LAYER + 6}: the kind of the layer is 2; 1 at most`,
    ],
    [
      'something in a layer',
      doctored(image, { [LAYER + 7]: 1 }),
      `byte ${LAYER + 7}: this byte must be zero`,
    ],
    [
      'a rule without controls',
      doctored(image, { [RULE]: 0, [RULE + 1]: 0 }),
      `byte ${RULE}: at least one control is needed`,
    ],
    ['a rule for bank 5', doctored(image, { [RULE + 4]: 5 }), `byte ${RULE + 4}: the bank is 5; 4 at most`],
    ['something in a rule', doctored(image, { [RULE + 5]: 1 }), `byte ${RULE + 5}: this byte must be zero`],
    [
      'a change without controls',
      doctored(image, { [CHANGE + 2]: 0 }),
      `byte ${CHANGE}: at least one control is needed`,
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
    ['ms without a repeat', doctored(image, { [IN_MS]: 1 }), `byte ${IN_MS}: up counts ms but has no repeat`],
    [
      'a repeat in ms without a pause',
      doctored(image, { 77: 0 }),
      'byte 76: the repeat of z lacks its released ms',
    ],
    [
      'ms for a thirteenth input',
      doctored(image, { [IN_MS + 1]: 0x14 }),
      `byte ${IN_MS}: a repeat in ms is named for an input that does not exist`,
    ],
    [
      'something behind the repeats in ms',
      doctored(image, { [IN_MS + 3]: 1 }),
      `byte ${IN_MS + 3}: this byte must be zero`,
    ],
    [
      'a gate that is not',
      doctored(image, { [STICK + 16]: 3 }),
      `byte ${STICK + 16}: the code of the gate is 3; 2 at most`,
    ],
    [
      'a press threshold too small',
      doctored(image, { [STICK + 1]: 4 }),
      `byte ${STICK}: expected a whole number from 5 to 95, found 4`,
    ],
    [
      'a number that does not follow from its stick',
      doctored(image, { [STICK + 16 + 8]: 0 }),
      `byte ${STICK + 16 + 8}: this stick’s release is 11776; from its settings follows 11796`,
    ],
    [
      'something in a stick',
      doctored(image, { [STICK + 5]: 1 }),
      `byte ${STICK + 5}: this byte must be zero`,
    ],
    [
      'a chord of one control',
      doctored(image, { [CHORD]: 1 }),
      `byte ${CHORD}: a chord needs at least two controls`,
    ],
    [
      'a chord without inputs',
      doctored(image, { [CHORD + 4]: 0 }),
      `byte ${CHORD + 4}: at least one input is needed`,
    ],
    [
      'a chord too slow',
      doctored(image, { [CHORD + 6]: 251 }),
      `byte ${CHORD + 6}: the time of the chord is 251 ms; 250 at most`,
    ],
    ['nine chords', doctored(image, { 54: 9 }), 'byte 54: the number of chords is 9; 8 at most'],
    ['five pads', doctored(image, { 53: 5 }), 'byte 53: the number of pads is 5; 4 at most'],
    [
      'a way to a pad that is not',
      doctored(image, { [PAD + 4]: 2 }),
      `byte ${PAD + 4}: the code of the way to the pad is 2; 1 at most`,
    ],
    [
      'a pad without extractors',
      doctored(image, { [PAD + 5]: 0 }),
      `byte ${PAD + 5}: at least one control has to be found`,
    ],
    [
      'a pad with 41 extractors',
      doctored(image, { [PAD + 5]: 41 }),
      `byte ${PAD + 5}: the number of extractors is 41; 40 at most`,
    ],
    [
      'a pad without a name',
      doctored(image, nothing(PAD + 12, 32, PAD + 6)),
      `byte ${PAD + 12}: a name is needed`,
    ],
    [
      'a descriptor where any will do',
      doctored(image, { [PAD + 11]: 1 }),
      `byte ${PAD + 11}: this byte must be zero`,
    ],
    [
      'an extractor of no kind',
      doctored(image, { [EXTRACTOR]: 5 }),
      `byte ${EXTRACTOR}: there is no kind 5 of extractor`,
    ],
    [
      'a control that is not',
      doctored(image, { [EXTRACTOR + 1]: 32 }),
      `byte ${EXTRACTOR + 1}: there is no control 32`,
    ],
    [
      'a field of no bits',
      doctored(image, { [EXTRACTOR + 5]: 0 }),
      `byte ${EXTRACTOR}: expected a whole number from 1 to 32, found 0`,
    ],
    [
      'a field beyond the report',
      doctored(image, { [EXTRACTOR + 6]: 0xfe, [EXTRACTOR + 7]: 1 }),
      `byte ${EXTRACTOR}: a field ends within the first 64 bytes of a report`,
    ],
    [
      'something in a threshold',
      doctored(image, { [EXTRACTOR + 16]: 1 }),
      `byte ${EXTRACTOR + 16}: this byte must be zero`,
    ],
    [
      'numbered reports beside bare ones',
      doctored(image, { [EXTRACTOR + 4]: 1 }),
      `byte ${PAD + 5}: either all reports of a pad have numbers or none has`,
    ],
    [
      'an array without an end',
      doctored(image, { [EXTRACTOR + 22]: 65 }),
      `byte ${EXTRACTOR + 20}: expected a whole number from 1 to 64, found 65`,
    ],
    [
      'a hat of five positions',
      doctored(image, { [EXTRACTOR + 42]: 5 }),
      `byte ${EXTRACTOR + 42}: a hat has 4 or 8 positions; this one has 5`,
    ],
    [
      'a hat whose positions have no values',
      doctored(image, { [EXTRACTOR + 52]: 0 }),
      `byte ${EXTRACTOR + 40}: expected a whole number from 1 to 1000000, found 0`,
    ],
    [
      'a hat whose positions are too wide',
      doctored(image, { [EXTRACTOR + 52]: 0x41, [EXTRACTOR + 53]: 0x42, [EXTRACTOR + 54]: 0x0f }),
      `byte ${EXTRACTOR + 40}: expected a whole number from 1 to 1000000, found 1000001`,
    ],
    [
      'something behind a hat',
      doctored(image, { [EXTRACTOR + 56]: 1 }),
      `byte ${EXTRACTOR + 56}: this byte must be zero`,
    ],
    [
      'a cross that is not',
      doctored(image, { [EXTRACTOR + 41]: 3 }),
      `byte ${EXTRACTOR + 41}: there is no cross 3`,
    ],
    [
      'an axis that is not',
      doctored(image, { [EXTRACTOR + 61]: 4 }),
      `byte ${EXTRACTOR + 61}: there is no axis 4`,
    ],
    [
      'a centre at an end',
      doctored(image, { [EXTRACTOR + 72]: 0 }),
      `byte ${EXTRACTOR + 60}: the centre of an axis lies between its two ends`,
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
    const padded = new Uint8Array(2048)
    padded.set(image.subarray(0, END))
    padded[6] = 0
    padded[7] = 8
    expect(sentence(sealed(padded))).toBe(`byte ${END}: there is more in the image than its counts say`)
  })
})
