import * as v from 'valibot'
import { describe, expect, it } from 'vitest'
import { controlsIn } from '../../../src/pad/controls.ts'
import { PadReader } from '../../../src/pad/extract.ts'
import { LayoutSchema } from '../../../src/pad/layout/schema.ts'
import type { Extractor } from '../../../src/pad/layout/schema.ts'
import { guessLayout } from '../../../src/pad/descriptor/guess-layout.ts'
import type { GuessedLayout } from '../../../src/pad/descriptor/guess-layout.ts'
import { parseReportDescriptor } from '../../../src/pad/descriptor/parse.ts'
import { REAL_DESCRIPTORS, realDescriptor } from './real-descriptors.ts'

const PAD = { via: 'hid', vendorId: 0x1209, productId: 0xa1, descriptorCrc32: null } as const

function guess(bytes: Uint8Array): GuessedLayout {
  const parsed = parseReportDescriptor(bytes)
  if (!parsed.ok) throw new Error(parsed.error.message)
  return guessLayout(parsed.value, PAD)
}
const bytes = (hex: string) => Uint8Array.from(hex.match(/[\da-f]{2}/gi) ?? [], (pair) => parseInt(pair, 16))
/** Of a gamepad that says only this. */
const guessPad = (inside: string, application = '05 01 09 05') =>
  guess(bytes(`${application} a1 01 ${inside} c0`))

const place = (extractor: Extractor): string =>
  extractor.kind === 'hat'
    ? `${extractor.cross} from ${extractor.first} of ${extractor.positions}`
    : extractor.kind === 'axis'
      ? `${extractor.stick} ${extractor.axis} ${extractor.low} ${extractor.centre} ${extractor.high}`
      : extractor.control
/** What was found, each with the report and bit where it is. */
const found = ({ layout }: GuessedLayout) =>
  Object.fromEntries(
    (layout?.extractors ?? []).map((each) => [
      place(each),
      `${each.field.report}.${each.field.bit}+${each.field.bits}`,
    ]),
  )

const BUTTONS = (count: number) =>
  `05 09 19 01 29 ${count.toString(16).padStart(2, '0')} 15 00 25 01 75 01 95 ${count.toString(16).padStart(2, '0')} 81 02`
const AXES = (usages: string, size = '75 08', max = '26 ff 00') =>
  `05 01 ${usages.replace(/../g, (usage) => `09 ${usage}`)} 15 00 ${max} ${size} 95 ${(usages.length / 2).toString(16).padStart(2, '0')} 81 02`

/** Of a gamepad with a hat of 16 bits that tells degrees in this range. */
const degreeHat = (range: string) =>
  bytes(`05 01 09 05 a1 01 05 01 09 39 ${range} 65 14 75 10 95 01 81 42 c0`)

describe('a layout from usages', () => {
  it('takes the hat for the d-pad, X and Y for the left stick, buttons in their usual order', () => {
    const guessed = guess(realDescriptor(7))
    expect(found(guessed)).toMatchObject({
      'dpad from 0 of 8': '1.32+4',
      'left x 0 128 255': '1.0+8',
      'left y 0 128 255': '1.8+8',
      'right x 0 128 255': '1.16+8',
      'right y 0 128 255': '1.24+8',
      'face-south': '1.36+1',
      'shoulder-left': '1.40+1',
      'trigger-right': '1.43+1',
      centre: '1.48+1',
    })
    expect(guessed.layout).toMatchObject({ name: 'Pad 1209:00A1', pad: PAD })
    const sure = guessed.guessed
      .filter((each) => each.sure)
      .map(({ extractor }) => guessed.layout?.extractors[extractor])
    expect(sure.map((each) => each && place(each))).toEqual([
      'dpad from 0 of 8',
      'left x 0 128 255',
      'left y 0 128 255',
    ])
  })

  it('takes Rx and Rz for the right stick where nothing else is one', () => {
    expect(found(guess(realDescriptor(62)))).toMatchObject({
      'left x 0 2048 4095': '10.40+12',
      'left y 0 2048 4095': '10.52+12',
      'right x 0 2048 4095': '10.64+12',
      'right y 0 2048 4095': '10.76+12',
    })
    expect(found(guessPad(AXES('3031333235')))).toMatchObject({
      'right x 0 128 255': '0.24+8',
      'right y 0 128 255': '0.32+8',
    })
  })

  it('tells the right stick from the triggers by its size, then by its place', () => {
    // 16 bits as the left stick has; the 10 bits of Z and Rz are the triggers.
    const wide = guess(realDescriptor(8))
    expect(found(wide)).toMatchObject({
      'dpad from 1 of 8': '1.96+4',
      'right x 0 32768 65535': '1.32+16',
      'right y 0 32768 65535': '1.48+16',
      'trigger-left': '1.64+10',
      'trigger-right': '1.80+10',
    })
    expect(wide.notes.join()).toMatch(/Rx and Ry are taken for the right stick and Z and Rz for the triggers/)
    expect(found(guessPad(AXES('3031323533 34'.replace(' ', ''))))).toMatchObject({
      'right x 0 128 255': '0.16+8',
    })
    expect(found(guessPad(AXES('303133343235')))).toMatchObject({
      'right x 0 128 255': '0.16+8',
      'trigger-left': '0.32+8',
    })
  })

  it('tells it by its size even where the triggers come first', () => {
    const sticks = (usages: string) => AXES(usages, '75 10', '27 ff ff 00 00')
    const guessed = guessPad(`${sticks('3031')} ${AXES('3235')} ${sticks('3334')}`)
    expect(found(guessed)).toMatchObject({ 'right x 0 32768 65535': '0.48+16', 'trigger-left': '0.32+8' })
  })

  it('presses an analogue trigger from 40 % on and lets go below 30 %', () => {
    const trigger = guess(realDescriptor(10)).layout?.extractors.find(
      (each) => each.kind === 'threshold' && each.control === 'trigger-left',
    )
    // Brake is the left one (Android Compatibility Definition, section 7.2.6, from memory).
    expect(trigger).toMatchObject({ field: { bit: 48, bits: 8 }, press: 102, release: 77 })
  })

  it('leaves the triggers out of ten buttons beside analogue ones, and in without', () => {
    expect(found(guessPad(`${AXES('303133343235')} ${BUTTONS(8)}`))).toMatchObject({
      'shoulder-right': '0.53+1',
      'centre-left': '0.54+1',
      'trigger-left': '0.32+8',
    })
    expect(found(guessPad(BUTTONS(8)))).toMatchObject({ 'trigger-left': '0.6+1' })
  })

  it('counts buttons with gaps where there are gaps', () => {
    expect(found(guess(realDescriptor(10)))).toMatchObject({
      'face-west': '1.2+1',
      'face-north': '1.3+1',
      'shoulder-left': '1.4+1',
      'stick-left-press': '1.6+1',
      centre: '1.10+1',
      'centre-left': '1.9+1',
    })
  })

  it('knows a d-pad of four buttons, and of four arrow keys', () => {
    expect(found(guess(realDescriptor(17)))).toMatchObject({
      'dpad-up': '0.52+1',
      'dpad-down': '0.53+1',
      'dpad-right': '0.54+1',
      'dpad-left': '0.55+1',
    })
    expect(found(guess(realDescriptor(21)))).toMatchObject({ 'dpad-right': '0.48+1', 'dpad-up': '0.51+1' })
  })

  it('takes a d-pad told as X and Y for a stick, and says so', () => {
    const guessed = guessPad('05 01 09 30 09 31 15 ff 25 01 75 02 95 02 81 02')
    expect(found(guessed)).toEqual({ 'left x -1 0 1': '0.0+2', 'left y -1 0 1': '0.2+2' })
    expect(guessed.notes).toEqual([
      'X has 3 values: a d-pad told as a stick',
      'Y has 3 values: a d-pad told as a stick',
    ])
    const flat = guessPad(`05 01 09 30 15 00 25 01 75 01 95 01 81 02 ${BUTTONS(2)}`)
    expect(Object.keys(found(flat))).toEqual(['face-south', 'face-east'])
    expect(flat.notes).toEqual(['X has no middle; it is left out'])
  })

  it('puts the centre between the ends, for every size and sign', () => {
    expect(Object.keys(found(guessPad(AXES('3031', '75 0a', '26 ff 03'))))).toEqual([
      'left x 0 512 1023',
      'left y 0 512 1023',
    ])
    expect(Object.keys(found(guessPad('05 01 09 30 16 00 80 26 ff 7f 75 10 95 01 81 02')))).toEqual([
      'left x -32768 0 32767',
    ])
    expect(Object.keys(found(guessPad('05 01 09 30 15 81 25 7f 75 08 95 01 81 02')))).toEqual([
      'left x -127 0 127',
    ])
  })

  it('reads the upper 31 bits where 32 have no sign', () => {
    const guessed = guessPad('05 01 09 30 15 00 27 ff ff ff ff 75 20 95 01 81 02')
    expect(found(guessed)).toEqual({ [`left x 0 ${2 ** 30} ${2 ** 31 - 1}`]: '0.1+31' })
  })

  it('finds buttons in an array, by the value that stands for each', () => {
    const guessed = guessPad('05 09 19 01 29 04 15 01 25 04 75 08 95 03 81 00')
    expect(guessed.layout?.extractors.slice(0, 2)).toEqual([
      {
        kind: 'array',
        control: 'face-south',
        field: { report: 0, bit: 0, bits: 8, signed: false },
        count: 3,
        value: 1,
      },
      {
        kind: 'array',
        control: 'face-east',
        field: { report: 0, bit: 0, bits: 8, signed: false },
        count: 3,
        value: 2,
      },
    ])
  })

  // Clockwise from up (HID Usage Tables 1.12 section 4.3); what is out of the logical range means nothing (HID 1.11 section 6.2.2.5).
  it.each([
    ['0 to 239 for 0 to 360 degrees', realDescriptor(30), 0, 30, [240, 255, 0xffff]],
    ['0 to 359 for as many', degreeHat('15 00 26 67 01 35 00 46 67 01'), 0, 45, [360, 0xffff]],
    ['0 to 315 in steps of 45', degreeHat('15 00 26 3b 01'), 0, 45, [316, 360, 0xffff]],
    ['1 to 360', degreeHat('15 01 26 68 01'), 1, 45, [0, 361, 0xffff]],
    ['0 to 31500 hundredths', degreeHat('15 00 26 0c 7b 35 00 46 3b 01'), 0, 4500, [31501, 0xffff]],
  ])('reads eight directions out of a hat that tells degrees: %s', (_, descriptor, up, step, nothing) => {
    const guessed = guess(descriptor)
    expect(guessed.notes.join()).toMatch(/the hat switch tells an angle by \d+ values; they are taken for 8/)
    const extractors = guessed.layout?.extractors.filter(({ kind }) => kind === 'hat') ?? []
    const { report = 0, bit = 0 } = extractors[0]?.field ?? {}
    const reader = new PadReader({ extractors })
    const held = (value: number) => {
      const data = new Uint8Array(64)
      new DataView(data.buffer).setUint16(bit / 8, value, true)
      return controlsIn(reader.reportData(report, data).controls)
        .map((control) => control.slice('dpad-'.length))
        .join(' ')
    }
    expect([0, 1, 2, 3, 4, 5, 6, 7].map((k) => held(up + k * step))).toEqual([
      'up',
      'up right',
      'right',
      'down right',
      'down',
      'down left',
      'left',
      'up left',
    ])
    expect(nothing.map(held)).toEqual(nothing.map(() => ''))
  })

  it('leaves out a hat of which nothing says how its values go round, and takes the first eight of nine', () => {
    expect(guessPad(`05 01 09 39 15 00 26 ff 00 75 08 95 01 81 02 ${BUTTONS(2)}`).notes).toContain(
      'the hat switch has 256 values, not one for each direction; it is left out',
    )
    const nine = guessPad('05 01 09 39 15 00 25 08 75 04 95 01 81 02')
    expect(found(nine)).toEqual({ 'dpad from 0 of 8': '0.0+4' })
    expect(nine.notes).toEqual(['the hat switch has 9 values; the first 8 are taken for its directions'])
    expect(found(guessPad('05 01 09 39 15 00 25 03 75 04 95 01 81 42'))).toEqual({
      'dpad from 0 of 4': '0.0+4',
    })
  })

  it('begins with the report that has the most, and takes nothing beyond 64 bytes', () => {
    expect(found(guess(realDescriptor(28)))).toMatchObject({
      'face-south': '63.0+1',
      'dpad from 0 of 8': '63.16+4',
    })
    expect(guessPad(`75 08 95 40 81 03 ${BUTTONS(4)}`).layout).toBeNull()
    expect(found(guessPad(`75 08 95 3f 81 03 ${BUTTONS(4)}`))).toMatchObject({ 'face-south': '0.504+1' })
  })

  it('leaves a hat out whose field has no room for its angles', () => {
    const { layout } = guess(
      bytes('05 01 09 05 a1 01 09 39 15 00 26 67 01 35 00 46 67 01 65 14 75 02 95 04 81 42 c0'),
    )
    expect(layout).toBeNull()
  })

  it('is none for mice, keyboards, tablets and remotes', () => {
    for (const { name, bytes: those } of REAL_DESCRIPTORS) {
      const { layout, notes } = guess(those)
      const pad = /^\d+-(pad|joystick|wheel|remote-that-calls-itself-a-pad)$/.test(name)
      expect(layout !== null, name).toBe(pad)
      if (!pad) expect(notes.join()).toMatch(/teach this pad/)
    }
  })

  it('is sound, and always the same', () => {
    for (const { name, bytes: those } of REAL_DESCRIPTORS) {
      const guessed = guess(those)
      expect(guess(those)).toEqual(guessed)
      if (guessed.layout === null) continue
      expect(v.safeParse(LayoutSchema, guessed.layout).issues, name).toBeUndefined()
      const thresholds = guessed.layout.extractors.flatMap((each) =>
        'control' in each ? [each.control] : [],
      )
      expect(new Set(thresholds).size, name).toBe(thresholds.length)
      expect(guessed.guessed.map(({ extractor }) => extractor)).toEqual(
        guessed.layout.extractors.map((_, k) => k),
      )
    }
  })
})
