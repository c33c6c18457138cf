import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { crc32 } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { readLayout, writeLayout } from '../../src/pad/layout/file.ts'
import type { Layout } from '../../src/pad/layout/schema.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { decodeImage, layoutsOfImage } from '../../src/profile/decode-image.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()
const six = BUILT_IN_PROFILES['six-button']

const read = readLayout(readFileSync('static/demo/layouts/loan-pad.json'))
if (!read.ok) throw new Error(read.error.message)
const loan = read.value
const bare: Layout = { ...loan, notes: '' }
const booth: Layout = { ...loan, name: 'Booth pad', pad: { ...loan.pad, productId: 0x0005 } }

/** Writes a layout file into the folder in which commands run. */
function layoutFile(name: string, layout: Layout): string {
  writeFileSync(cli.path(name), writeLayout(layout))
  return name
}
const loanFile = () => layoutFile('loan.json', loan)
const boothFile = () => layoutFile('booth.json', booth)
const imageAt = (name: string) => new Uint8Array(readFileSync(cli.path(name)))

/** Bad input, in the one line that is said of it. */
function refusal(...args: string[]): string {
  const { code, out, err } = cli.run(...args)
  expect({ code, out }).toEqual({ code: 2, out: '' })
  return err
}

describe('build --pad', () => {
  it('puts the pads in beside the profile, in the order given, and tells of them', () => {
    const { code, out, err } = cli.run(
      'build',
      'six-button',
      '--pad',
      boothFile(),
      '--pad',
      loanFile(),
      '--out',
      'two.image',
    )
    expect({ code, err }).toEqual({ code: 0, err: '' })
    const image = imageAt('two.image')
    expect(layoutsOfImage(image)).toEqual([{ ...booth, notes: '' }, bare])
    expect(decodeImage(image)).toEqual({ ok: true, value: { ...six, notes: '' } })
    // Over all but the last four bytes; computed by zlib.
    const crc = crc32(image.slice(0, -4)).toString(16).toUpperCase().padStart(8, '0')
    expect(out).toBe(
      `two.image: image of Six buttons, ${image.length} bytes, CRC ${crc}. Pads in it: Booth pad (1209:0005), Saltmarsh loan pad (1209:0008).\n`,
    )
    expect(cli.json('build', 'six-button', '--pad', boothFile(), '--out', 'one.image')).toMatchObject({
      pads: [{ name: 'Booth pad', via: 'hid', vendorId: 0x1209, productId: 5, descriptorCrc32: null }],
    })
  })

  it('keeps the pads of an image, and takes an equal layout once', () => {
    cli.run('build', 'six-button', '--pad', loanFile(), '--out', 'from.image')
    cli.run('build', 'from.image', '--pad', loanFile(), '--pad', boothFile(), '--out', 'to.image')
    expect(layoutsOfImage(imageAt('to.image')).map(({ name }) => name)).toEqual([loan.name, booth.name])
  })

  it('makes the UF2 of the same image', () => {
    const told = cli.json(
      'build',
      'six-button',
      '--pad',
      loanFile(),
      '--uf2',
      '--bank',
      '3',
      '--out',
      'x.uf2',
    )
    expect(told).toEqual({
      ...(cli.json('build', 'six-button', '--pad', loanFile(), '--out', 'x.uf2') as object),
      bank: 3,
      uf2Bytes: expect.any(Number) as unknown,
    })
  })

  it('says which layout does not fit, and why', () => {
    const gamepad = layoutFile('seen.json', {
      ...loan,
      name: 'Seen pad',
      pad: { ...loan.pad, via: 'gamepad' },
    })
    expect(refusal('build', 'six-button', '--pad', gamepad, '--out', 'no.image')).toBe(
      'ninepin: seen.json: Seen pad is known to the browser only: learn the pad itself, or plug it into the adapter once\n',
    )
    const many = [1, 2, 3, 4, 5].map((k) =>
      layoutFile(`p${k}.json`, {
        ...loan,
        name: `Pad ${k}`,
        extractors: loan.extractors.slice(0, 3),
        pad: { ...loan.pad, productId: k },
      }),
    )
    expect(
      refusal('build', 'six-button', ...many.flatMap((path) => ['--pad', path]), '--out', 'no.image'),
    ).toContain('p5.json: Pad 5 finds no room: a bank holds 4 pads')
    const other = layoutFile('other.json', { ...loan, name: 'Other words for it' })
    expect(
      refusal('build', 'six-button', '--pad', loanFile(), '--pad', other, '--out', 'no.image'),
    ).toContain('other.json: pad: Saltmarsh loan pad is for the same pad and comes first')
    expect(refusal('build', 'six-button', '--pad', 'none.json', '--out', 'no.image')).toContain(
      'none.json: there is no such file',
    )
    writeFileSync(cli.path('cut.json'), writeLayout(loan).slice(0, 90))
    expect(refusal('build', 'six-button', '--pad', 'cut.json', '--out', 'no.image')).toContain('cut.json')
    expect(readdirSync(cli.folder)).not.toContain('no.image')
  })

  it('does not write over a layout that went in', () => {
    expect(refusal('build', 'six-button', '--pad', loanFile(), '--out', 'loan.json')).toContain(
      'what was read',
    )
    expect(readFileSync(cli.path('loan.json'), 'utf8')).toBe(writeLayout(loan))
  })
})

describe('unbuild --pads', () => {
  it('writes profile and layouts, which make the same image again', () => {
    cli.run('build', 'six-button', '--pad', loanFile(), '--pad', boothFile(), '--out', 'a.image')
    mkdirSync(cli.path('back'))
    expect(cli.run('unbuild', 'a.image', '--out', 'a.json', '--pads', 'back')).toEqual({
      code: 0,
      out: [
        'a.json: Six buttons. Notes are not kept in an image.',
        'back/saltmarsh-loan-pad.layout.json: Saltmarsh loan pad.',
        'back/booth-pad.layout.json: Booth pad.',
        '',
      ].join('\n'),
      err: '',
    })
    const pads = ['back/saltmarsh-loan-pad.layout.json', 'back/booth-pad.layout.json']
    cli.run('build', 'a.json', ...pads.flatMap((path) => ['--pad', path]), '--out', 'b.image')
    expect(imageAt('b.image')).toEqual(imageAt('a.image'))
  })

  it('leaves a file that says the same as it is, and refuses another', () => {
    mkdirSync(cli.path('there'))
    const at = 'there/saltmarsh-loan-pad.layout.json'
    cli.run('build', 'six-button', '--pad', layoutFile(at, loan), '--out', 'c.image')
    expect(cli.run('unbuild', 'c.image', '--out', 'c.json', '--pads', 'there').code).toBe(0)
    expect(readFileSync(cli.path(at), 'utf8')).toBe(writeLayout(loan))
    layoutFile(at, { ...loan, extractors: loan.extractors.slice(1) })
    expect(refusal('unbuild', 'c.image', '--out', 'd.json', '--pads', 'there')).toContain(
      'another layout stands there',
    )
    expect(readdirSync(cli.folder)).not.toContain('d.json')
  })

  it('without a folder says which pads are in it', () => {
    cli.run('build', 'six-button', '--pad', loanFile(), '--out', 'e.image')
    expect(cli.run('unbuild', 'e.image', '--out', 'e.json').out).toContain(
      'Pads in it: Saltmarsh loan pad (1209:0008); --pads <folder> writes their layouts.',
    )
  })
})

describe('flash --pad', () => {
  it('tells which pads the bank holds', () => {
    const { code, out } = cli.run('flash', 'six-button', '--pad', loanFile(), '--bank', '2', '--emulated')
    expect(code).toBe(0)
    expect(out).toMatch(/\nwritten .*\n {11}pads: Saltmarsh loan pad \(1209:0008\)\n/)
    expect(cli.json('flash', 'six-button', '--pad', loanFile(), '--bank', '1', '--emulated')).toMatchObject({
      before: null,
      written: { pads: [{ name: 'Saltmarsh loan pad' }] },
      readBack: { pads: [{ name: 'Saltmarsh loan pad' }] },
      equal: true,
    })
  })
})
