import { spawnSync } from 'node:child_process'
import {
  chmodSync,
  lstatSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join } from 'node:path'
import { beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { writeProfile } from '../../src/profile/file.ts'
import { LIMITS } from '../../src/profile/schema.ts'
import { writeTitle } from '../../src/title/file.ts'
import { TITLE_LIMITS } from '../../src/title/title-limits.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()
const six = BUILT_IN_PROFILES['six-button']
const BURST = demoTitle('copper-kite-rally')
const put = (name: string, content: string | Uint8Array): void => {
  writeFileSync(cli.path(name), content)
}

/** All that lies in the folder, so that nothing left behind and nothing lost goes unseen. */
const lying = (folder = cli.folder): Record<string, string> =>
  Object.fromEntries(
    readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map(({ name }) => [name, readFileSync(join(folder, name), 'latin1')]),
  )

const CUT_PROFILE = writeProfile(six).slice(0, 400)
const VCD = '$timescale 1 ns $end\n$var wire 1 ! select $end\n$enddefinitions $end\n#0\n1!\n#9\n'

beforeAll(() => {
  mkdirSync(cli.path('drawer'))
  const image = encodeImage(six)
  put('sound.image', image)
  put('cut.image', image.slice(0, 100))
  put('bent.image', image.with(40, (image[40] ?? 0) ^ 1))
  put('long.image', new Uint8Array(40_000))
  put('sound.json', writeProfile(six))
  put('cut.json', CUT_PROFILE)
  put('future.json', writeProfile(six).replace(/"version": \d+/, '"version": 9'))
  put('wrong.json', writeProfile(six).replace('"idleResetNs": 1500000', '"idleResetNs": 1.5'))
  put('latin.json', Uint8Array.from([0x7b, 0x22, 0xe4, 0x22, 0x7d]))
  put('huge.json', ' '.repeat(LIMITS.fileBytes + 1))
  put('empty', '')
  put('title.json', readFileSync(BURST))
  const late = writeTitle(PLAIN.burst).replace('"minNs": 2600', '"minNs": 1600')
  put('wrong-title.json', late)
  put('huge-title.json', ' '.repeat(TITLE_LIMITS.fileBytes + 1))
  put('sound.vcd', VCD)
  put('cut.vcd', VCD.slice(0, 30))
  put('nameless.vcd', VCD.replace('select', 'strobe'))
  put('back.vcd', `${VCD}#8\n`)
})
beforeEach(() => {
  put('out', 'what stood there before')
})

/** Runs a command that is refused. @returns its one sentence */
function refused(...args: readonly string[]): string {
  const before = lying()
  const { code, out, err } = cli.run(...args)
  expect({ code, out }).toEqual({ code: 2, out: '' })
  expect(err).toMatch(/^ninepin: [^\n]+\n$/)
  expect(lying()).toEqual(before)
  return err.slice('ninepin: '.length, -1)
}

describe('a wrong command line is refused with a hint', () => {
  it.each<[string[], string]>([
    [['chek'], "unknown command 'chek'; did you mean check?"],
    [['check', 'six-button', '--titel', 'x'], "unknown option '--titel'; did you mean --title?"],
    [['build', 'six-button', '--output', 'x'], "unknown option '--output'; did you mean --out?"],
    [['--jsn'], "unknown option '--jsn'"],
    [['check'], "missing required argument 'profile'; it stands before the options"],
    [
      ['check', '--title', BURST, 'six-button'],
      "missing required argument 'profile'; it stands before the options",
    ],
    [
      ['check', 'six-button'],
      'missing --title <title...>: one title file or more (all names up to the next option are titles); this or --capture',
    ],
    [['check', 'six-button', '--title'], "option '--title <title...>' argument missing"],
    [['build', 'six-button'], 'missing --out <file>: where to write the image'],
    [['build', 'six-button', '--out'], "option '--out <file>' argument missing"],
    [
      ['build', 'six-button', 'three-button', '--out', 'x'],
      "too many arguments for 'build'. Expected 1 argument but got 2.",
    ],
    [['unbuild', 'sound.image'], 'missing --out <profile.json>: where to write the profile'],
    [['reply', 'six-button', '--out', 'x'], 'missing --select <in.vcd>: IEEE 1364 VCD with the select line'],
    [
      ['reply', 'six-button', '--select', 'sound.vcd'],
      'missing --out <out.vcd>: where to write select and the six pins',
    ],
    [['flash', 'six-button', '--emulated'], 'missing --bank <1-4> or --trial: the bank to write'],
    [['flash', 'six-button', '--bank', '1'], 'missing --port <path> or --emulated: where to write'],
    ...[
      ['--emulated', '--port', 'x'],
      ['--port', '', '--emulated'],
    ].map((places): [string[], string] => [
      ['flash', 'six-button', '--bank', '1', ...places],
      'only one of --port and --emulated can be written to at a time',
    ]),
    [['flash', 'six-button', '--bank', '1', '--model'], "unknown option '--model'"],
    [['flash', 'six-button', '--bank', '1', '--port'], "option '--port <path>' argument missing"],
    [
      ['build', 'six-button', '--out', 'out', '--bank', '2'],
      '--bank goes with --uf2; an image is not bound to a bank',
    ],
    [['build', 'six-button', '--out', 'out', '--uf2'], 'missing --bank <1-4>: the bank that the UF2 writes'],
    [
      ['build', 'six-button', '--out', 'out', '--uf2', '--bank', '5'],
      "option '--bank <1-4>' argument '5' is invalid. The banks are 1, 2, 3, 4.",
    ],
    [
      ['flash', 'six-button', '--emulated', '--bank', '0'],
      "option '--bank <1-4>' argument '0' is invalid. The banks are 1, 2, 3, 4.",
    ],
    [
      ['check', 'six-button', '--title', BURST, '--margin', '2.5'],
      "option '--margin <ns>' argument '2.5' is invalid. A whole number of ns is needed, such as 200.",
    ],
    [
      ['check', 'six-button', '--title', BURST, '--reply', '100..32'],
      "option '--reply <min..max>' argument '100..32' is invalid. A range in ns is needed, the least first, such as 32..100.",
    ],
    [
      ['reply', 'six-button', '--select', 'sound.vcd', '--out', 'out', '--hold', 'up,jump'],
      "option '--hold <inputs>' argument 'up,jump' is invalid. \"jump\" is not an input; the inputs are up down left right a b c start x y z mode.",
    ],
  ])('%j', (args, said) => {
    expect(refused(...args)).toBe(said)
  })
})

describe('a wrong file is refused with its place', () => {
  const NAMES = 'three-button, six-button, six-button-one-cycle'
  const DRAWER = 'drawer: this is a folder, not a file'

  it.each<[string[], string]>([
    [
      ['build', 'nowhere.json', '--out', 'out'],
      `nowhere.json: there is no such file, and no built-in profile of that name (${NAMES})`,
    ],
    [
      ['build', '', '--out', 'out'],
      `"": there is no such file, and no built-in profile of that name (${NAMES})`,
    ],
    [['build', 'drawer', '--out', 'out'], DRAWER],
    [['build', 'sound.json/x', '--out', 'out'], 'sound.json/x: a part of this path is not a folder'],
    [['build', 'empty', '--out', 'out'], 'empty: the file is empty'],
    [
      ['build', 'cut.json', '--out', 'out'],
      `cut.json: line ${CUT_PROFILE.split('\n').length}: the file is cut off: the JSON does not end`,
    ],
    [
      ['build', 'future.json', '--out', 'out'],
      'future.json: version: this profile was written by a newer Ninepin (version 9); this one reads up to version 2',
    ],
    [
      ['build', 'wrong.json', '--out', 'out'],
      'wrong.json: idleResetNs: expected a whole number from 10000 to 100000000 ns, found 1.5',
    ],
    [['build', 'latin.json', '--out', 'out'], 'latin.json: byte 2: the file is not UTF-8 text'],
    [
      ['build', 'huge.json', '--out', 'out'],
      `huge.json: the file is too large; ${LIMITS.fileBytes} bytes at most are read`,
    ],
    [
      ['build', 'title.json', '--out', 'out'],
      'title.json: format: a profile says "ninepin-profile" here; this is "ninepin-title"',
    ],
    [['unbuild', 'nowhere', '--out', 'out'], 'nowhere: there is no such file'],
    [['unbuild', 'drawer', '--out', 'out'], DRAWER],
    [['unbuild', 'empty', '--out', 'out'], 'empty: byte 0: the file is empty'],
    [
      ['unbuild', 'sound.vcd', '--out', 'out'],
      'sound.vcd: byte 0: this is not a profile image: it does not begin with N9PI',
    ],
    [['check', 'six-button', '--title', 'nowhere.json'], 'nowhere.json: there is no such file'],
    [['check', 'six-button', '--title', 'drawer'], DRAWER],
    [
      ['check', 'six-button', '--title', 'sound.json'],
      'sound.json: format: a title says "ninepin-title" here; this is "ninepin-profile"',
    ],
    [
      ['check', 'six-button', '--title', BURST, 'wrong-title.json'],
      'wrong-title.json: modes[0].reads[0].steps[1]: this step can come at 1600 ns, before the sample before it, which can take until 1710 ns',
    ],
    [
      ['check', 'six-button', '--title', 'huge-title.json'],
      `huge-title.json: the file is too large; ${TITLE_LIMITS.fileBytes} bytes at most are read`,
    ],
    [
      ['reply', 'six-button', '--select', 'nowhere.vcd', '--out', 'out'],
      'nowhere.vcd: there is no such file',
    ],
    [['reply', 'six-button', '--select', 'empty', '--out', 'out'], 'empty: line 1: The file is empty.'],
    [
      ['reply', 'six-button', '--select', 'back.vcd', '--out', 'out'],
      'back.vcd: line 7: The time goes back from #9 to #8.',
    ],
  ])('%j', (args, said) => {
    expect(refused(...args)).toBe(said)
  })

  it.each([
    [['build', 'cut.image', '--out', 'out'], /^cut\.image: byte \d+: .*cut off/],
    [['unbuild', 'cut.image', '--out', 'out'], /^cut\.image: byte \d+: .*cut off/],
    [['unbuild', 'bent.image', '--out', 'out'], /^bent\.image: byte \d+: .*CRC/],
    [['unbuild', 'long.image', '--out', 'out'], /^long\.image: /],
    [
      ['reply', 'six-button', '--select', 'cut.vcd', '--out', 'out'],
      /^cut\.vcd: line \d+: The file is cut off/,
    ],
    [
      ['reply', 'six-button', '--select', 'nameless.vcd', '--out', 'out'],
      /^nameless\.vcd: line 3: No wire .*select.*strobe/,
    ],
    [
      ['reply', 'six-button', '--select', 'sound.vcd', '--signal', 'strobe', '--out', 'out'],
      /^sound\.vcd: line 3: No wire .*strobe.*select/,
    ],
  ])('%j', (args, said) => {
    expect(refused(...args)).toMatch(said)
  })
})

describe('a place that cannot be written to', () => {
  it.each([
    ['no-such-folder/x', 'no-such-folder/x: cannot be written: there is no such folder'],
    ['drawer', 'drawer: cannot be written: this is a folder, not a file'],
    ['', '"": cannot be written: there is no such folder'],
    ['sound.vcd/x', 'sound.vcd/x: cannot be written: a part of this path is not a folder'],
    ['n'.repeat(300), `${'n'.repeat(300)}: cannot be written: this name is too long`],
  ])('%s', (place, said) => {
    expect(refused('build', 'six-button', '--out', place)).toBe(said)
  })

  it.each([
    [['build', 'sound.json'], 'sound.json'],
    [['build', 'sound.json'], './drawer/../sound.json'],
    [['unbuild', 'sound.image'], 'sound.image'],
    [['reply', 'six-button', '--select', 'sound.vcd'], 'sound.vcd'],
    [['reply', 'sound.json', '--select', 'sound.vcd'], 'sound.json'],
  ])('%j over what it reads, at %s', (args, place) => {
    expect(refused(...args, '--out', place)).toBe(
      `${place}: this is what was read; choose another name to write to`,
    )
  })
})

describe('what is written over', () => {
  it('is replaced whole, keeps its mode, and a link to it stays a link', () => {
    chmodSync(cli.path('out'), 0o640)
    symlinkSync('out', cli.path('link'))
    expect(cli.run('build', 'six-button', '--out', 'link').code).toBe(0)
    expect(lstatSync(cli.path('link')).isSymbolicLink()).toBe(true)
    expect(readFileSync(cli.path('out'))).toEqual(Buffer.from(encodeImage(six)))
    expect(statSync(cli.path('out')).mode & 0o777).toBe(0o640)
  })

  it('is a pipe: it gets the bytes and stays a pipe', () => {
    const script = 'mkfifo pipe && { "$@" >said & } && cat pipe | od -An -tx1 -N4 && wait && test -p pipe'
    const { status, stdout } = spawnSync(
      'bash',
      ['-c', script, 'bash', process.execPath, cli.program, 'build', 'six-button', '--out', 'pipe'],
      { cwd: cli.folder, encoding: 'utf8' },
    )
    expect({ status, stdout }).toEqual({ status: 0, stdout: ' 4e 39 50 49\n' })
  })
})

describe('permissions', () => {
  // The superuser may open everything, so the program is run as somebody else then.
  const somebody = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {}
  const canRun = spawnSync(process.execPath, ['--version'], somebody).status === 0
  const run = (...args: string[]) =>
    spawnSync(process.execPath, [cli.program, ...args], { ...somebody, cwd: cli.folder, encoding: 'utf8' })

  it.skipIf(!canRun)('a file that may not be read or written stays as it is', () => {
    chmodSync(dirname(cli.folder), 0o755)
    chmodSync(cli.folder, 0o777)
    put('secret.json', writeProfile(six))
    chmodSync(cli.path('secret.json'), 0)
    chmodSync(cli.path('out'), 0o444)
    expect(run('build', 'secret.json', '--out', 'new')).toMatchObject({
      status: 2,
      stderr: 'ninepin: secret.json: this file may not be opened; check its permissions\n',
    })
    expect(run('build', 'six-button', '--out', 'out')).toMatchObject({
      status: 2,
      stderr: 'ninepin: out: cannot be written: this file or its folder is write-protected\n',
    })
    chmodSync(cli.path('drawer'), 0o555)
    expect(run('build', 'six-button', '--out', 'drawer/x')).toMatchObject({
      status: 2,
      stderr: 'ninepin: drawer/x: cannot be written: this file or its folder is write-protected\n',
    })
    chmodSync(cli.path('secret.json'), 0o600)
    chmodSync(cli.path('out'), 0o644)
    expect(readFileSync(cli.path('out'), 'utf8')).toBe('what stood there before')
    expect(readdirSync(cli.path('drawer'))).toEqual([])
    expect(readdirSync(cli.folder)).not.toContain('new')
  })
})

describe('with --json an error is JSON on standard output too', () => {
  it.each([
    [
      ['build', 'wrong.json', '--out', 'out'],
      'wrong.json',
      'idleResetNs',
      /^expected a whole number .*, found 1\.5$/,
    ],
    [['check', 'six-button', '--title', 'nowhere.json'], 'nowhere.json', '', /^there is no such file$/],
    [['unbuild', 'bent.image', '--out', 'out'], 'bent.image', expect.stringMatching(/^byte \d+$/), /CRC/],
    [
      ['reply', 'six-button', '--select', 'back.vcd', '--out', 'out'],
      'back.vcd',
      'line 7',
      /^The time goes back/,
    ],
    [['flash', 'six-button', '--bank', '1'], 'command line', '', /^missing --port <path> or --emulated/],
    [['check', 'six-button', '--titel', 'x'], 'command line', '', /did you mean --title\?$/],
  ])('%j', (args, subject, place, message) => {
    const before = lying()
    const { code, out, err } = cli.run(...args, '--json')
    expect(code).toBe(2)
    expect(JSON.parse(out)).toEqual({
      error: { subject, place, message: expect.stringMatching(message) as unknown },
    })
    expect(err).toMatch(/^ninepin: [^\n]+\n$/)
    expect(lying()).toEqual(before)
  })
})
