import { spawn } from 'node:child_process'
import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { writeAllWhole, writePieces, writeWhole } from '../../src/cli/write.ts'
import { LAYOUT_KIND } from '../../src/pad/layout/schema.ts'
import { VENDOR_LAYOUT } from '../../src/pad/layout/built-in.ts'
import { readJson } from '../../src/document/document.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { builtCli } from './run-cli.ts'

let folder = ''
beforeEach(() => (folder = mkdtempSync(join(tmpdir(), 'ninepin-write-'))))
afterEach(() => rmSync(folder, { recursive: true }))
const at = (name: string): string => join(folder, name)

describe('a file that is written in pieces', () => {
  it('is all of them', async () => {
    const pieces = Array.from({ length: 1000 }, (_, k) => `${k} ü\n`)
    await writePieces(at('out'), pieces, [])
    expect(readFileSync(at('out'), 'utf8')).toBe(pieces.join(''))
    expect(readdirSync(folder)).toEqual(['out'])
  })

  it('is not touched where a piece cannot be made, and the fault goes on as it is', async () => {
    writeFileSync(at('out'), 'what stood there', { mode: 0o640 })
    const fault = new RangeError('no such piece')
    const pieces = function* () {
      yield 'half '
      throw fault
    }
    await expect(writePieces(at('out'), pieces(), [])).rejects.toBe(fault)
    await expect(writePieces(at('new'), pieces(), [])).rejects.toBe(fault)
    expect(readFileSync(at('out'), 'utf8')).toBe('what stood there')
    expect(readdirSync(folder)).toEqual(['out'])
    expect(statSync(at('out')).mode & 0o777).toBe(0o640)
  })
})

describe('a link to write to', () => {
  it('is followed to the file that it leads to', () => {
    mkdirSync(at('else'))
    writeFileSync(at('else/real'), 'before')
    symlinkSync(at('else/real'), at('link'))
    writeWhole(at('link'), 'after', [])
    expect(readFileSync(at('else/real'), 'utf8')).toBe('after')
    expect(lstatSync(at('link')).isSymbolicLink()).toBe(true)
    expect(readdirSync(at('else'))).toEqual(['real'])
  })

  it('is refused where it leads nowhere, and stays', () => {
    symlinkSync(at('nowhere'), at('link'))
    expect(() => writeWhole(at('link'), 'after', [])).toThrow('this link leads nowhere; remove it')
    expect(readdirSync(folder)).toEqual(['link'])
    symlinkSync(at('circle'), at('circle'))
    expect(() => writeWhole(at('circle'), 'after', [])).toThrow('this link leads in a circle')
  })
})

describe('several files', () => {
  const files = ['one', 'two', 'three'].map((name) => ({ path: name, content: `new ${name}` }))
  const inFolder = () => files.map(({ path, content }) => ({ path: at(path), content }))

  it('are all written', () => {
    writeFileSync(at('two'), 'old two')
    writeAllWhole(inFolder(), [])
    expect(readdirSync(folder).sort()).toEqual(['one', 'three', 'two'])
    for (const { path, content } of files) expect(readFileSync(at(path), 'utf8')).toBe(content)
  })

  it.each([0, 1, 2])('are as before where number %i cannot be written', (bad) => {
    for (const { path } of files) if (path !== 'one') writeFileSync(at(path), `old ${path}`)
    rmSync(at(files[bad]?.path ?? ''), { force: true })
    mkdirSync(at(files[bad]?.path ?? ''))
    const before = readdirSync(folder)
    expect(() => writeAllWhole(inFolder(), [])).toThrow('this is a folder')
    expect(readdirSync(folder)).toEqual(before)
    for (const [k, { path }] of files.entries())
      if (k !== bad && existsSync(at(path))) expect(readFileSync(at(path), 'utf8')).toBe(`old ${path}`)
  })

  it.each([1, 2])('are put back where number %i cannot be put in its place any more', (bad) => {
    for (const { path } of files) if (path !== 'one') writeFileSync(at(path), `old ${path}`)
    const late = files[bad]?.path ?? ''
    // A content is asked for when its file is written, so what it does comes between the check and the renaming.
    const all = inFolder().map((file, k) =>
      k === 2
        ? {
            path: file.path,
            get content() {
              rmSync(at(late), { force: true })
              mkdirSync(at(late))
              writeFileSync(at(`${late}/full`), '')
              return file.content
            },
          }
        : file,
    )
    expect(() => writeAllWhole(all, [])).toThrow('cannot be written')
    expect(existsSync(at('one'))).toBe(false)
    const other = bad === 1 ? 'three' : 'two'
    expect(readFileSync(at(other), 'utf8')).toBe(`old ${other}`)
    expect(readdirSync(folder).sort()).toEqual(['three', 'two'])
  })

  it('are refused where two have one name', () => {
    const twice = [
      { path: at('one'), content: 'a' },
      { path: at('./../') + folder.split('/').at(-1) + '/one', content: 'b' },
    ]
    expect(() => writeAllWhole(twice, [])).toThrow('two files would be written to this name')
    expect(readdirSync(folder)).toEqual([])
  })
})

const cli = builtCli()

describe('a signal', () => {
  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    '%s in the middle of a write ends the program and leaves nothing of the file',
    async (signal) => {
      const dump = '$timescale 1 ns $end\n$var wire 1 ! select $end\n$enddefinitions $end\n'
      const changes = Array.from({ length: 1_000_000 }, (_, k) => `#${9000 * k}\n${k & 1}!\n`).join('')
      mkdirSync(cli.path(signal))
      writeFileSync(cli.path('long.vcd'), dump + changes)
      const args = ['reply', 'six-button', '--select', 'long.vcd', '--out', `${signal}/out.vcd`]
      const child = spawn(process.execPath, [cli.program, ...args], { cwd: cli.folder, stdio: 'inherit' })
      const ended = new Promise((resolve) => child.once('exit', (code, by) => resolve(by ?? code)))
      const seen = () => readdirSync(cli.path(signal))
      while (seen().length === 0 && child.exitCode === null) await pause(1)
      expect(seen()).toEqual([expect.stringMatching(/^\.ninepin-/)])
      child.kill(signal)
      expect(await ended).toBe(signal)
      expect(seen()).toEqual([])
    },
  )
})

describe('unbuild with --pads', () => {
  const layout = readJson(LAYOUT_KIND, {
    ...VENDOR_LAYOUT,
    name: 'Loan pad',
    pad: { via: 'hid', vendorId: 0x1209, productId: 8, descriptorCrc32: null },
  })

  it('writes the profile and the pads, or none of them', () => {
    if (!layout.ok) throw new Error(`${layout.error.place} ${layout.error.message}`)
    writeFileSync(cli.path('both.image'), encodeImage(BUILT_IN_PROFILES['six-button'], [layout.value]))
    mkdirSync(cli.path('pads'))
    mkdirSync(cli.path('taken'))
    const refused = cli.run('unbuild', 'both.image', '--out', 'taken', '--pads', 'pads')
    expect(refused).toMatchObject({
      code: 2,
      err: 'ninepin: taken: cannot be written: this is a folder, not a file\n',
    })
    expect(readdirSync(cli.path('pads'))).toEqual([])
    const nowhere = cli.run('unbuild', 'both.image', '--out', 'profile.json', '--pads', 'nowhere')
    expect(nowhere.code).toBe(2)
    expect(existsSync(cli.path('profile.json'))).toBe(false)
    expect(cli.run('unbuild', 'both.image', '--out', 'profile.json', '--pads', 'pads').code).toBe(0)
    expect(readdirSync(cli.path('pads'))).toEqual(['loan-pad.layout.json'])
    expect(existsSync(cli.path('profile.json'))).toBe(true)
  })
})
