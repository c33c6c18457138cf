import { readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { crc32 } from 'node:zlib'
import { beforeAll, describe, expect, it } from 'vitest'
import { readDocument } from '../../src/document/read-document.ts'
import { LAYOUT_KIND } from '../../src/pad/layout/schema.ts'
import { realDescriptor } from '../pad/descriptor/real-descriptors.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()
const REAL = fileURLToPath(new URL('../pad/descriptor/real/', import.meta.url))
const PAD = `${REAL}18-pad.hex`
const JOYSTICK = `${REAL}14-joystick.hex`
const put = (name: string, content: string | Uint8Array): void => writeFileSync(cli.path(name), content)

beforeAll(() => {
  put('pad.bin', realDescriptor(18))
  put('mouse.bin', realDescriptor(4))
  put('long-range.hex', '05 01 09 05 a1 01 15 00 25 ff 75 08 95 01 09 30 81 02 c0')
  put('cut.bin', realDescriptor(18).subarray(0, 20))
  put('letter.txt', 'Dear museum,\nhere is the pad.')
})

// zlib's crc32 is the one of RFC 1952.
const crc = (number: number) =>
  `0x${crc32(realDescriptor(number)).toString(16).toUpperCase().padStart(8, '0')}`

describe('descriptor', () => {
  it('tells the reports in a table', () => {
    const { code, out, err } = cli.run('descriptor', PAD)
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toBe(
      [
        `${PAD}: Gamepad; 51 bytes, CRC-32 ${crc(18)}.`,
        '  input report, 32 bits',
        '    1   bit 0   8  0 to 255  value  X',
        '    2   bit 8   8  0 to 255  value  Y',
        ...Array.from(
          { length: 10 },
          (_, k) => `    ${String(k + 1 + 2).padEnd(2)}  bit ${k + 16}  1  0 to 1    value  Button ${k + 1}`,
        ),
        '',
      ].join('\n'),
    )
    expect(cli.run('descriptor', 'pad.bin').out).toBe(out.replace(PAD, 'pad.bin'))
  })

  it('tells several one after the other, and what is odd', () => {
    const { code, out } = cli.run('descriptor', 'mouse.bin', 'long-range.hex')
    expect(code).toBe(0)
    expect(out).toContain('mouse.bin: Mouse; 50 bytes')
    expect(out).toMatch(/\n {4}4 {2}bit 8 {3}8 {2}-127 to 127 {2}relative {2}X\n/)
    expect(out).toMatch(
      /\n {2}Odd at byte 16: logical range: the maximum -1 is taken without sign, as 255\.\n$/,
    )
  })

  it('tells the same in JSON', () => {
    expect(cli.json('descriptor', PAD)).toMatchObject({
      descriptors: [
        {
          file: PAD,
          bytes: 51,
          crc32: crc32(realDescriptor(18)),
          numbered: false,
          reports: [{ kind: 'input', report: 0, bits: 32 }],
          collections: [{ page: 1, id: 5, type: 1 }],
          remarks: [],
        },
      ],
    })
  })

  it('writes the layout that the usages suggest, and says what is guessed', () => {
    const { code, out, err } = cli.run(
      'descriptor',
      JOYSTICK,
      '--layout',
      'layout.json',
      '--pad',
      '12AB:00cd',
    )
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toContain('\nlayout.json: Pad 12AB:00CD. What is guessed goes by common practice;')
    expect(out).toMatch(/\n {4}stick-left x +X\n/)
    expect(out).toMatch(/\n {4}face-south +Button 1 +guessed\n/)
    expect(out).toMatch(
      /\n {2}Note: Z and Rz are taken for the right stick and Rx and Ry for the triggers\.\n/,
    )
    const layout = readDocument(LAYOUT_KIND, readFileSync(cli.path('layout.json')))
    expect(layout).toMatchObject({
      ok: true,
      value: {
        name: 'Pad 12AB:00CD',
        pad: { via: 'hid', vendorId: 0x12ab, productId: 0xcd, descriptorCrc32: crc32(realDescriptor(14)) },
      },
    })
    const told = cli.json('descriptor', JOYSTICK, '--layout', 'again.json', '--pad', '12ab:00cd')
    expect(told).toMatchObject({ layout: { out: 'again.json', layout: layout.ok && layout.value } })
    expect(readFileSync(cli.path('again.json'))).toEqual(readFileSync(cli.path('layout.json')))
  })

  it.each([
    [['cut.bin'], /^ninepin: cut\.bin: byte 18: the descriptor ends within this item/],
    [['letter.txt'], /^ninepin: letter\.txt: line 1, column 1: "Dear" is not a byte in hexadecimal/],
    [['nowhere.hex'], /^ninepin: nowhere\.hex: there is no such file/],
    [
      ['mouse.bin', '--layout', 'no.json', '--pad', '0001:0002'],
      /^ninepin: mouse\.bin: no button, stick or hat/,
    ],
    [['pad.bin', '--layout', 'no.json'], /^ninepin: missing --pad <VVVV:PPPP>/],
    [['pad.bin', '--pad', '0001:0002'], /^ninepin: --pad goes with --layout/],
    [['pad.bin', '--layout', 'no.json', '--pad', '1:2'], /four hexadecimal digits are needed/],
    [
      ['pad.bin', 'mouse.bin', '--layout', 'no.json', '--pad', '0001:0002'],
      /--layout is for one report descriptor/,
    ],
    [['pad.bin', '--layout', 'pad.bin', '--pad', '0001:0002'], /this is what was read; choose another name/],
    [[], /missing required argument 'file'/],
  ])('%j is refused with one line, and nothing is written', (args, words) => {
    const { code, out, err } = cli.run('descriptor', ...args)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(words)
    expect(err.trim().split('\n')).toHaveLength(1)
    expect(readdirSync(cli.folder)).not.toContain('no.json')
    expect(readFileSync(cli.path('pad.bin')).equals(realDescriptor(18))).toBe(true)
  })
})
