import { spawn, spawnSync } from 'node:child_process'
import { closeSync, existsSync, openSync, writeFileSync } from 'node:fs'
import { zipSync } from 'fflate'
import { describe, expect, it } from 'vitest'
import { writeProfile } from '../../src/profile/file.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()

const CHECK = ['check', 'three-button', '--title', demoTitle('copper-kite-rally')]
const LOST = 'Files and banks that this command has written are complete.'

/** Runs with standard output at the end of what a shell makes of it; a command stands for `"$@"`. */
const inShell = (script: string, ...args: readonly string[]) =>
  spawnSync('bash', ['-c', script, 'bash', process.execPath, cli.program, ...args], {
    cwd: cli.folder,
    encoding: 'utf8',
  })

/** Standard output is a pipe that nobody reads any more. */
const CLOSED = 'exec 3> >(:); wait $!; "$@" >&3'

describe('output that cannot be written', () => {
  it.skipIf(!existsSync('/dev/full')).each([
    ['words', CHECK],
    ['JSON', [...CHECK, '--json']],
    ['help', ['--help']],
    ['the version', ['--version']],
    ['an error in JSON', ['check', 'nothing', '--title', 'nothing', '--json']],
  ])('to a full disk: %s', (_, args) => {
    const full = openSync('/dev/full', 'w')
    const { status, stderr } = spawnSync(process.execPath, [cli.program, ...args], {
      cwd: cli.folder,
      encoding: 'utf8',
      stdio: ['ignore', full, 'pipe'],
    })
    closeSync(full)
    expect({ status, stderr }).toEqual({
      status: 3,
      stderr: `ninepin: The output could not be written: the disk is full. ${LOST} Make room, or send the output elsewhere, and run this again.\n`,
    })
  })

  it('to a pipe that is closed', () => {
    const { status, stderr } = inShell(CLOSED, ...CHECK)
    expect({ status, stderr }).toEqual({
      status: 3,
      stderr: `ninepin: The output could not be written: the program that reads it has closed the pipe. ${LOST} Let it read to the end, or send the output to a file, and run this again.\n`,
    })
  })

  it('leaves what was written before it', () => {
    const { status } = inShell(CLOSED, 'build', 'six-button', '--out', 'before.image')
    expect(status).toBe(3)
    expect(cli.run('check', 'before.image', '--title', demoTitle('copper-kite-rally')).code).toBe(1)
  })

  it('keeps the exit code where only standard error cannot be written', () => {
    expect(inShell('exec 3> >(:); wait $!; "$@" 2>&3', 'check', 'nothing', '--title', 'x').status).toBe(2)
  })
})

it('waits for a slow reader of a pipe that does not block', async () => {
  // A stream of Node's at the other end makes the pipe one that answers EAGAIN when it is full.
  const many = Array.from({ length: 600 }, () => 'three-button')
  const child = spawn(process.execPath, [cli.program, 'check', ...many, ...CHECK.slice(2), '--json'], {
    cwd: cli.folder,
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  await new Promise((resolve) => child.stdout.once('readable', resolve))
  let out = ''
  for await (const piece of child.stdout.setEncoding('utf8')) out += piece as string
  expect(out.length).toBeGreaterThan(4 * 65_536)
  expect((JSON.parse(out) as { pairs: unknown[] }).pairs.length).toBe(600)
})

/** What no line that is printed may hold, beside its end. */
const HARM = /(?!\n)[\p{Cc}\p{Bidi_Control}\p{Zl}\p{Zp}]/u

describe('names that come from outside', () => {
  /** As a word of a dump can have it: nothing in it ends a line or a word. */
  const TOKEN = 'x\u001b[2J\u009b1A\u0007\u202egnp'
  const hostile = 'x\u001b[2J\u009b1A\u0007\r\u202egnp\u2066'

  it.each([
    ['check', `${hostile}\nninepin: all is well`, '--title', 'x'],
    ['check', 'three-button', '--title', hostile],
    [hostile],
    ['check', `--${hostile}`],
    ['flash', 'three-button', '--bank', hostile],
    ['reply', 'three-button', '--select', 'x', '--out', 'y', '--hold', hostile],
    ['symptom', 'three-button', '--saw', hostile],
    ['infer', hostile, '--out', 'y'],
    ['flash', 'three-button', '--bank', '1', '--port', `/dev/${hostile}`],
  ])('are harmless in a complaint: %#', (...args) => {
    const { code, err, out } = cli.run(...args)
    expect(code).toBe(2)
    expect(out).toBe('')
    expect(err).not.toMatch(HARM)
    // One line: no name makes a second one.
    expect(err).toMatch(/^ninepin: .*\n$/)
    const json = cli.run(...args, '--json')
    expect(json.out).not.toMatch(HARM)
    expect(JSON.parse(json.out)).toHaveProperty('error')
  })

  it('are harmless and whole in JSON', () => {
    const { out } = cli.run('check', hostile, '--title', 'x', '--json')
    expect(JSON.parse(out)).toMatchObject({ error: { subject: hostile } })
  })

  it('are harmless where a document is quoted', () => {
    const wrong = { ...BUILT_IN_PROFILES['six-button'], [hostile]: 1 }
    writeFileSync(
      cli.path('wrong.json'),
      JSON.stringify({ ...JSON.parse(writeProfile(wrong)), [hostile]: 1 }),
    )
    const key = cli.run('check', 'wrong.json', '--title', 'x')
    expect(key.code).toBe(2)
    expect(key.err).not.toMatch(HARM)
    writeFileSync(cli.path('wrong.json'), JSON.stringify({ format: hostile }))
    const value = cli.run('check', 'wrong.json', '--title', 'x')
    expect(value.err).toContain('format')
    expect(value.err).not.toMatch(HARM)
  })

  it.each([
    ['scope', `$scope module ${TOKEN} $end $var wire 1 ! a $end $upscope $end`],
    ['name', `$var wire 1 ! ${TOKEN} $end $var wire 1 " b $end`],
    ['range', `$var wire 1 ! a [${TOKEN}] $end $var wire 1 " b $end`],
    ['type of variable', `$var ${TOKEN} 1 ! a $end $var wire 1 " b $end`],
    ['size', `$var wire ${TOKEN} ! a $end`],
    ['section', TOKEN],
    ['scale', `$timescale ${TOKEN} $end`],
    ['timestamp', `$var wire 1 ! select $end $enddefinitions $end ${TOKEN}`],
    ['scale that is contradicted', `$timescale 1 ${TOKEN} s $end`],
  ])('are harmless in a dump, as a %s', (_, declarations) => {
    writeFileSync(
      cli.path('dump.vcd'),
      `$timescale 1 ns $end ${declarations} $enddefinitions $end #0 0! #9 1!`,
    )
    for (const args of [
      ['infer', 'dump.vcd', '--out', 'title.json'],
      ['infer', 'dump.vcd', '--signal', hostile, '--out', 'title.json'],
      ['reply', 'three-button', '--select', 'dump.vcd', '--out', 'y'],
      ['reply', 'three-button', '--select', 'dump.vcd', '--signal', hostile, '--out', 'y'],
    ]) {
      const { code, err, out } = cli.run(...args)
      expect(code).toBe(2)
      expect(`${err}${out}`).not.toMatch(HARM)
      expect(err).toMatch(/^ninepin: .*\n$/)
    }
  })

  it.each([
    ['channel', { probe: hostile }],
    ['capture file', { captureFile: hostile }],
    ['capture file that is damaged', { captureFile: hostile, entry: hostile }],
    ['version', { version: hostile }],
    ['rate', { rate: hostile }],
  ])(
    'are harmless in a session, as a %s',
    (
      _,
      {
        probe = 'a',
        captureFile = 'logic-1',
        entry = 'logic-1',
        version = '2',
        rate = '1 MHz',
      }: Record<string, string>,
    ) => {
      const metadata = `[device 1]\ncapturefile=${captureFile}\nsamplerate=${rate}\nunitsize=1\nprobe1=${probe}\nprobe2=b\n`
      const bytes = zipSync({
        version: new TextEncoder().encode(version),
        metadata: new TextEncoder().encode(metadata),
        [entry]: new Uint8Array(4096),
      })
      // Its samples are not what their check sum says.
      const at = Buffer.from(bytes).lastIndexOf(Buffer.from([0x50, 0x4b, 0x01, 0x02])) + 16
      bytes[at] = 0xff ^ (bytes[at] ?? 0)
      writeFileSync(cli.path('session.sr'), bytes)
      for (const signal of [[], ['--signal', probe], ['--signal', 'b']]) {
        const { code, err, out } = cli.run('infer', 'session.sr', ...signal, '--out', 'title.json')
        expect(code).toBe(2)
        expect(`${err}${out}`).not.toMatch(HARM)
        expect(err).toMatch(/^ninepin: .*\n$/)
      }
    },
  )

  it('are harmless where a document gives its name', () => {
    const name = 'Evening \u202egnp\u2066'
    writeFileSync(cli.path('named.json'), writeProfile({ ...BUILT_IN_PROFILES['three-button'], name }))
    const { code, out } = cli.run('check', 'named.json', ...CHECK.slice(2))
    expect(code).toBe(0)
    expect(out).toContain('Evening ?gnp?')
    expect(out).not.toMatch(HARM)
  })
})
