import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { ShippedPackages } from '../.config/licences.ts'

const ROOT = fileURLToPath(new URL('..', import.meta.url))

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'ninepin-licences-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

function put(path: string, text: string): void {
  mkdirSync(join(folder, path, '..'), { recursive: true })
  writeFileSync(join(folder, path), text)
}

/** A project that uses `lamp` and not `wick`, which is installed, too. Gives what is written of the licences. */
async function built(licenceOfLamp: string | null): Promise<string> {
  put('package.json', '{ "name": "house", "version": "3.0.0", "license": "MIT" }')
  put('LICENSE', 'The licence of the house.')
  for (const name of ['lamp', 'wick']) {
    const main = 'build/index.js'
    put(
      `node_modules/${name}/package.json`,
      JSON.stringify({ name, version: '1.2.3', license: 'ISC', type: 'module', main }),
    )
    // As some packages have it.
    put(`node_modules/${name}/build/package.json`, '{ "type": "module" }')
    put(`node_modules/${name}/${main}`, `export const light = '${name}'`)
    if (name === 'wick' || licenceOfLamp !== null)
      put(`node_modules/${name}/LICENSE.md`, name === 'wick' ? 'Of the wick.' : (licenceOfLamp ?? ''))
  }
  put('main.js', "import { light } from 'lamp'\nimport { light as unused } from 'wick'\nconsole.log(light)\n")
  const shipped = new ShippedPackages(folder)
  await build({
    root: folder,
    configFile: false,
    logLevel: 'silent',
    plugins: shipped.writing(),
    ssr: { noExternal: true },
    build: { ssr: true, outDir: join(folder, 'out'), rolldownOptions: { input: join(folder, 'main.js') } },
  })
  return readFileSync(join(folder, 'out', 'licences.txt'), 'utf8')
}

describe('the licences of what is shipped', () => {
  it('are those of what is in the bundle, and of the house itself', async () => {
    const text = await built('Of the lamp.')
    expect(text).toContain('house 3.0.0 (MIT)')
    expect(text).toContain('The licence of the house.')
    expect(text).toMatch(/lamp 1\.2\.3 \(ISC\)\n=+\n\nOf the lamp\.\n/)
    expect(text).not.toContain('wick')
  })

  it.each([null, '', ' \n'])('stop the build where a package has none: %j', async (text) => {
    await expect(built(text)).rejects.toThrow(/lamp is in the bundle and has no text of a licence/)
  })

  it('are written for the command line', async () => {
    await build({
      root: ROOT,
      configFile: join(ROOT, 'vite.config.ts'),
      mode: 'cli',
      logLevel: 'silent',
      build: { outDir: folder, emptyOutDir: true },
    })
    const text = readFileSync(join(folder, 'licences.txt'), 'utf8')
    for (const name of ['ninepin', 'commander', 'fflate', 'rp2040js', 'valibot'])
      expect(text).toMatch(new RegExp(`^${name} \\d+\\.\\d+\\.\\d+ \\(MIT\\)$`, 'm'))
    expect(text).not.toMatch(/^(svelte|serialport|vitest) /m)
    expect(text.match(/Permission is hereby granted, free of charge/g)?.length).toBeGreaterThan(4)
  })
})

/** The names of the files that an ELF was linked of: symbols of the type FILE (System V ABI, "Symbol Table"). */
function filesIn(elf: Buffer): string[] {
  const [headersAt, count] = [elf.readUInt32LE(32), elf.readUInt16LE(48)]
  const header = (k: number) => {
    const at = headersAt + 40 * k
    const word = (n: number) => elf.readUInt32LE(at + 4 * n)
    return { type: word(1), at: word(4), bytes: word(5), link: word(6) }
  }
  const symbols = Array.from({ length: count }, (_, k) => header(k)).find(({ type }) => type === 2)
  if (symbols === undefined) throw new Error('this has no symbols')
  const names = header(symbols.link).at
  return Array.from({ length: symbols.bytes / 16 }, (_, k) => symbols.at + 16 * k).flatMap((at) => {
    if ((elf.readUInt8(at + 12) & 15) !== 4) return []
    const start = names + elf.readUInt32LE(at)
    const name = elf.toString('latin1', start, elf.indexOf(0, start))
    return name === '' ? [] : [name]
  })
}

it('names what is in the firmware beside its sources', () => {
  const sources = readdirSync(join(ROOT, 'src/adapter/firmware')).filter((name) => /\.[cS]$/.test(name))
  // Two tables are written by its build.
  const own = new Set([...sources, 'factory-image.c', 'vendor-pad.c'].map((name) => basename(name, '.o')))
  const linked = filesIn(readFileSync(join(ROOT, 'static/firmware/ninepin.elf')))
  expect(linked).toContain('main.c')
  const others = [...new Set(linked.map((name) => name.replace(/\.S\.o$/, '.S')))].filter(
    (name) => !own.has(name),
  )
  expect(others.sort()).toEqual(['_dvmd_tls.o', '_udivsi3.o'])
  const note = readFileSync(join(ROOT, '.config/licences.ts'), 'utf8')
  for (const name of others) expect(note).toContain(name)
})
