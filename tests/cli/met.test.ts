import { existsSync, readFileSync } from 'node:fs'
import { crc32 } from 'node:zlib'
import { afterEach, describe, expect, it } from 'vitest'
import type { PadRecord } from '../../src/adapter/pad-history.ts'
import type { Identity } from '../../src/adapter/replies.ts'
import { BenchLink } from '../adapter/bench-link.ts'
import { describeWith } from '../tools.ts'
import { pseudoTerminal } from './pseudo-terminal.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()

/** The report descriptor of HID 1.11 appendix E.6, a keyboard: 63 bytes, as the appendix prints them. */
const DESCRIPTOR = Uint8Array.from(
  Buffer.from(
    '05010906a101050719e029e71500250175019508810295017508810195057501050819012905910295017503910195067508150025650507190029658100c0',
    'hex',
  ),
)
const CRC = crc32(DESCRIPTOR).toString(16).toUpperCase().padStart(8, '0')

const PAD: PadRecord = {
  via: 'hid',
  outcome: 'no layout',
  vendorId: 0x12ab,
  productId: 7,
  release: 0x0213,
  descriptorCrc32: crc32(DESCRIPTOR),
}

let ends: (() => void)[] = []
afterEach(() => {
  for (const end of ends) end()
  ends = []
})

let made = 0
/** An adapter at the other end of a line, that has met a hub and then a pad. */
async function adapter({
  pads = true,
  identity = {},
}: { pads?: boolean; identity?: Partial<Identity> } = {}) {
  const bench = new BenchLink(identity)
  if (pads) {
    const HUB = { ...PAD, outcome: 'hub', vendorId: 1, productId: 2, release: 0, descriptorCrc32: 0 } as const
    bench.padMemory.pad(HUB, new Uint8Array(), 0)
    bench.padMemory.pad(PAD, DESCRIPTOR, 1_000)
    bench.padMemory.report(Uint8Array.of(1, 0x80, 0xff), 2_500)
    bench.padMemory.read(4, 13_500)
    bench.padMemory.read(1, 13_517)
    bench.padMemory.tick(13_600, 0x1001, 0x11)
    bench.padMemory.gone(13_700)
  }
  const to = await pseudoTerminal(cli.path(`met${++made}`), (line, bytes) =>
    line.say(bench.device.receive(bytes)),
  )
  ends.push(to.unplug)
  return { bench, path: to.path, met: (...more: string[]) => cli.start('met', '--port', to.path, ...more) }
}

const fine = { code: 0, err: '' }

describeWith('met --port, over a pseudo-terminal to a device in memory', ['socat'], () => {
  it('lists the pads, the newest first, with what became of each', async () => {
    const { met } = await adapter()
    const { out, ...rest } = await met()
    expect(rest).toEqual(fine)
    expect(out.trimEnd().split('\n')).toEqual([
      'adapter    Bench board, 0001',
      '1          vendor 12AB, product 0007, release 2.13, HID',
      '           No layout for it was in the active bank. Learn it, and flash the bank again.',
      `           ${DESCRIPTOR.length} bytes of report descriptor, CRC ${CRC}`,
      '2          vendor 0001, product 0002, release 0.00, HID',
      '           Refused: a hub. Plug the pad in without it.',
      '           no report descriptor kept',
    ])
  })

  it('prints JSON of this shape', async () => {
    const { met } = await adapter()
    expect(JSON.parse((await met('--json')).out)).toEqual({
      adapter: { board: 'Bench board', serialNumber: '0001' },
      pads: [
        {
          number: 1,
          via: 'hid',
          outcome: 'no layout',
          vendorId: 0x12ab,
          productId: 7,
          release: '2.13',
          descriptorCrc32: CRC,
          descriptorBytes: DESCRIPTOR.length,
        },
        {
          number: 2,
          via: 'hid',
          outcome: 'hub',
          vendorId: 1,
          productId: 2,
          release: '0.00',
          descriptorCrc32: '00000000',
          descriptorBytes: 0,
        },
      ],
    })
  })

  it('saves a report descriptor as it is, or as hexadecimal text', async () => {
    const { met } = await adapter()
    const { out, ...rest } = await met('--descriptor', '1', '--out', 'pad.bin')
    expect(rest).toEqual(fine)
    expect(out).toBe(
      `adapter    Bench board, 0001\npad.bin: report descriptor of pad 1, ${DESCRIPTOR.length} bytes, CRC ${CRC}.\n`,
    )
    expect(new Uint8Array(readFileSync(cli.path('pad.bin')))).toEqual(DESCRIPTOR)
    const again = JSON.parse((await met('--descriptor', '1', '--out', 'pad.HEX', '--json')).out) as unknown
    expect(again).toMatchObject({ number: 1, bytes: DESCRIPTOR.length, crc32: CRC, out: 'pad.HEX' })
    const text = readFileSync(cli.path('pad.HEX'), 'utf8')
    expect(text).toMatch(/^05 01 09 06 A1 01 05 07 19 E0 29 E7 15 00 25 01\n/)
    expect(new Uint8Array(Buffer.from(text.replaceAll(/\s/g, ''), 'hex'))).toEqual(DESCRIPTOR)
  })

  it('says so where none is kept, and writes nothing', async () => {
    const { met } = await adapter()
    for (const number of ['2', '8'])
      expect(await met('--descriptor', number, '--out', 'none.bin')).toEqual({
        code: 2,
        out: '',
        err: `ninepin: --descriptor: the adapter keeps none for pad ${number}; without it met lists the pads\n`,
      })
    expect(existsSync(cli.path('none.bin'))).toBe(false)
  })

  it('tells what was seen last', async () => {
    const { met } = await adapter()
    const { out, ...rest } = await met('--seen')
    expect(rest).toEqual(fine)
    expect(out.trimEnd().split('\n')).toEqual([
      'adapter    Bench board, 0001',
      'pad        vendor 12AB, product 0007, release 2.13, HID',
      '           No layout for it was in the active bank. Learn it, and flash the bank again.',
      'times      from when it was plugged in; it went at 12.700 s',
      'held       face-south, dpad-up',
      'pressed    up, a',
      'reports    1; the last that differed from the one before:',
      '                1.500 s  01 80 FF',
      'reads      2, of 4 rising edges at most; the last:',
      '               12.500 s  4 rising edges',
      '               12.517 s  1 rising edge',
    ])
    expect(JSON.parse((await met('--seen', '--json')).out)).toMatchObject({
      seen: {
        there: false,
        takenMs: 12_700,
        reportCount: 1,
        readCount: 2,
        mostRises: 4,
        held: ['face-south', 'dpad-up'],
        pressed: ['up', 'a'],
        reports: [{ atMs: 1_500, bytes: '01 80 FF' }],
        reads: [
          { atMs: 12_500, rises: 4 },
          { atMs: 12_517, rises: 1 },
        ],
      },
    })
  })

  it('has it forget', async () => {
    const { met, bench } = await adapter()
    const { out, ...rest } = await met('--forget')
    expect(rest).toEqual(fine)
    expect(out).toContain('\nforgotten  the pad history and the last activity\n')
    expect([bench.padMemory.history, bench.padMemory.lastActivity]).toEqual([[], null])
  })

  it('tells what to do where an adapter has met nothing', async () => {
    const { met } = await adapter({ pads: false })
    expect((await met()).out).toContain('\nmet        no pad yet; plug one into it')
    expect((await met('--seen')).out).toContain('\nseen       nothing yet; plug a pad into it')
    expect(JSON.parse((await met('--seen', '--json')).out)).toMatchObject({ seen: null })
  })

  it('tells that firmware is older, exit 1', async () => {
    const { met } = await adapter({ identity: { protocol: { major: 1, minor: 0 } } })
    for (const more of [[], ['--seen'], ['--forget'], ['--descriptor', '1', '--out', 'old.bin']]) {
      const { code, out, err } = await met(...more)
      expect({ code, out }).toEqual({ code: 1, out: '' })
      expect(err).toMatch(/^ninepin: This adapter’s firmware is older: .* Update its firmware/)
    }
    expect(existsSync(cli.path('old.bin'))).toBe(false)
  })

  it('tells what was seen by a newer firmware as far as it knows', async () => {
    const { met, bench } = await adapter({ pads: false })
    bench.padMemory.pad({ ...PAD, via: 'unlisted', outcome: 'unlisted' }, DESCRIPTOR, 0)
    const { code, out } = await met()
    expect(code).toBe(0)
    expect(out.match(/this version of Ninepin does not know/g)).toHaveLength(2)
  })
})

describe('met --emulated', () => {
  it('is new each time, and has met nothing', () => {
    const { code, out, err } = cli.run('met', '--emulated')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toMatch(/^adapter {4}.* \(.*nothing here reaches a real adapter\)\nmet {8}no pad yet;/)
    expect(cli.json('met', '--emulated', '--seen')).toMatchObject({ seen: null })
    expect(cli.json('met', '--emulated', '--forget')).toMatchObject({ forgotten: true })
  })
})

describe('a command line of met that is wrong', () => {
  it.each([
    [[], /missing --port <path> or --emulated: which adapter to ask/],
    [['--port', 'x', '--emulated'], /only one of --port and --emulated can be asked at a time/],
    [['--emulated', '--descriptor', '9', '--out', 'x'], /The number of a pad is needed, 1 to 8/],
    [['--emulated', '--descriptor', '1'], /missing --out <file>: where to write the report descriptor/],
    [['--emulated', '--out', 'x'], /--out goes with --descriptor <number>/],
    [['--emulated', '--seen', '--forget'], /only one of --descriptor, --seen and --forget/],
    [['--emulated', 'pad'], /too many arguments/],
  ])('%j: one line that says what is wrong, exit 2', (args, complaint) => {
    const { code, out, err } = cli.run('met', ...args)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(complaint)
    expect(err.trimEnd().split('\n')).toHaveLength(1)
  })
})
