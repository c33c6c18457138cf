import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { crc32 } from 'node:zlib'
import { afterAll, describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()
const image = encodeImage(BUILT_IN_PROFILES['six-button'])
/** Computed by zlib (its crc32, the one of RFC 1952). */
const CRC = crc32(image.slice(0, -4)).toString(16).toUpperCase().padStart(8, '0')

const SAID = [
  /^adapter {4}Ninepin board, [0-9A-F]{16} \(emulated chip; nothing here reaches a real adapter\)$/,
  /^was there {2}bank 3: empty$/,
  new RegExp(`^written {4}Six buttons: ${image.length} bytes, CRC ${CRC}$`),
  new RegExp(`^read back {2}${image.length} bytes, CRC ${CRC}$`),
  new RegExp(`^verified {3}${image.length} bytes: every byte matches$`),
].map((line) => expect.stringMatching(line) as unknown)

describe('flash --emulated', () => {
  it('has the firmware on an emulated chip write, and tells what was compared, like the other ways', () => {
    const { code, out, err } = cli.run('flash', 'six-button', '--bank', '3', '--emulated')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out.trimEnd().split('\n')).toEqual(SAID)
  })

  it('prints JSON of this shape', () => {
    const told = { bytes: image.length, crc32: CRC, pads: [] }
    expect(cli.json('flash', 'six-button', '--bank', '1', '--emulated')).toEqual({
      adapter: {
        board: 'Ninepin board',
        serialNumber: expect.stringMatching(/^[0-9A-F]{16}$/) as unknown,
      },
      profile: 'Six buttons',
      bank: 1,
      before: null,
      written: told,
      readBack: told,
      comparedBytes: image.length,
      equal: true,
    })
  })
})

describe('a copy of the program without anything beside it', () => {
  const elsewhere = mkdtempSync(join(tmpdir(), 'ninepin-copy-'))
  afterAll(() => rmSync(elsewhere, { recursive: true }))
  const run = (...args: string[]) => {
    cpSync(dirname(cli.program), elsewhere, { recursive: true })
    return spawnSync(process.execPath, [join(elsewhere, 'ninepin.js'), ...args], { encoding: 'utf8' })
  }

  it('carries the firmware with it', () => {
    const { status, stdout } = run('flash', 'six-button', '--bank', '3', '--emulated')
    expect(status).toBe(0)
    expect(stdout.trimEnd().split('\n')).toEqual(SAID)
  })

  it('reaches no serial port, and says what it needs for that', () => {
    expect(run('flash', 'six-button', '--bank', '3', '--port', '/dev/ttyACM0')).toMatchObject({
      status: 2,
      stdout: '',
      stderr:
        'ninepin: --port: the library that opens serial ports (serialport) is not installed with this program; ' +
        'run npm ci in the folder of Ninepin\n',
    })
  })
})

describe('the trial slot', () => {
  it('is written like a bank, and no bank is named', () => {
    const { code, out, err } = cli.run('flash', 'six-button', '--trial', '--emulated')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    const [adapter, , ...rest] = SAID
    const wasThere = expect.stringMatching(/^was there {2}trial slot: empty$/) as unknown
    expect(out.trimEnd().split('\n')).toEqual([adapter, wasThere, ...rest])
    expect(cli.json('flash', 'six-button', '--trial', '--emulated')).toMatchObject({
      trial: true,
      equal: true,
    })
  })

  it('is told of, and emptied', () => {
    const adapter = { board: 'Ninepin board', serialNumber: expect.any(String) as unknown }
    const empty = { adapter, state: 'empty', image: null }
    expect(cli.json('trial', '--emulated')).toEqual(empty)
    expect(cli.json('trial', '--emulated', '--forget')).toEqual(empty)
    expect(cli.run('trial', '--emulated', '--forget').out).toMatch(/\ntrial slot emptied\n$/)
  })

  it('and a bank cannot be written at once, and one of them has to be named', () => {
    expect(cli.run('flash', 'six-button', '--trial', '--bank', '1', '--emulated')).toMatchObject({ code: 2 })
    expect(cli.run('flash', 'six-button', '--emulated')).toMatchObject({
      code: 2,
      err: 'ninepin: missing --bank <1-4> or --trial: the bank to write\n',
    })
  })
})
