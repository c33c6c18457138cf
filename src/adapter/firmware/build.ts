import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { VENDOR_LAYOUT } from '../../pad/layout/built-in.ts'
import { encodeImage } from '../../profile/encode-image.ts'
import { encodePad } from '../../profile/encode-pad.ts'
import { BUILT_IN_PROFILES } from '../../profile/built-in.ts'
import { FLASH_ADDRESS } from '../flash-places.ts'
import { encodeUf2 } from '../uf2.ts'
import { bootBlockCrc } from './boot-block.ts'

/**
 * Builds the firmware with `arm-none-eabi-gcc` and nothing else. The same sources and compiler give the same bytes, wherever
 * and whenever they are built. Runs in Node only.
 */

const SOURCES = dirname(fileURLToPath(import.meta.url))
const PACKAGE = new URL('../../../package.json', import.meta.url)
const COMPILER = 'arm-none-eabi-gcc'
const COPIER = 'arm-none-eabi-objcopy'

const MACHINE = ['-mcpu=cortex-m0plus', '-mthumb']
const COMPILE = [
  ...MACHINE,
  '-std=c11',
  '-O2',
  '-ffreestanding',
  '-fno-ident',
  '-fno-common',
  '-ffunction-sections',
  '-fdata-sections',
  // The compiler must not make calls of loops: what it would call is not there before start-up has copied it.
  '-fno-tree-loop-distribute-patterns',
  '-Wall',
  '-Wextra',
  '-Werror',
  '-Wconversion',
]

export interface BuiltFile {
  readonly path: string
  readonly bytes: number
}

/**
 * Writes `ninepin.elf`, `ninepin.bin` and `ninepin.uf2` into a folder.
 *
 * @throws Error with what the compiler said
 */
export function buildFirmware(folder: string): BuiltFile[] {
  const work = mkdtempSync(join(tmpdir(), 'ninepin-firmware-'))
  try {
    const elf = join(work, 'ninepin.elf')
    const objects = compileAll(work)
    // The block's CRC stands behind the block: link, look, and link again.
    link(objects, elf, 0)
    const crc = bootBlockCrc(binaryOf(elf, work))
    link(objects, elf, crc)
    const bin = binaryOf(elf, work)
    mkdirSync(folder, { recursive: true })
    return [
      put(join(folder, 'ninepin.elf'), readFileSync(elf)),
      put(join(folder, 'ninepin.bin'), bin),
      put(join(folder, 'ninepin.uf2'), encodeUf2([{ address: FLASH_ADDRESS, bytes: bin }])),
    ]
  } finally {
    rmSync(work, { recursive: true })
  }
}

function put(path: string, content: Uint8Array): BuiltFile {
  writeFileSync(path, content)
  return { path, bytes: content.length }
}

/** Major, minor, patch of this package: the firmware is of the same version. */
function versionFlags(): string[] {
  const { version } = JSON.parse(readFileSync(PACKAGE, 'utf8')) as { version: string }
  const numbers = /^(\d+)\.(\d+)\.(\d+)/.exec(version)?.slice(1) ?? []
  return ['MAJOR', 'MINOR', 'PATCH'].map((name, k) => `-DFIRMWARE_${name}=${numbers[k] ?? '0'}`)
}

function compileAll(work: string): string[] {
  const tables = writeTables(work)
  const sources = readdirSync(SOURCES)
    .filter((name) => /\.[cS]$/.test(name))
    .sort()
    .map((name) => join(SOURCES, name))
  const flags = [...COMPILE, ...versionFlags(), '-I', SOURCES]
  return [...sources, ...tables].map((source) => {
    const object = join(work, `${basename(source)}.o`)
    run(COMPILER, [...flags, '-c', basename(source), '-o', object], dirname(source))
    return object
  })
}

/**
 * Writes C files of what the app's sources say: the image of an adapter without a profile, and how a vendor-class pad is read.
 *
 * @returns their paths
 */
export function writeTables(folder: string): string[] {
  const tables = [
    tableSource('factory-image', 'factory_image', encodeImage(BUILT_IN_PROFILES['three-button'])),
    tableSource('vendor-pad', 'vendor_pad', encodePad(VENDOR_LAYOUT)),
  ]
  return tables.map(({ file, text }) => {
    const path = join(folder, file)
    writeFileSync(path, text)
    return path
  })
}

/** The header that declares the table has its name. */
const tableSource = (name: string, table: string, bytes: Uint8Array) => ({
  file: `${name}.c`,
  text: `#include "${name}.h"\n\nconst uint8_t ${table}[${bytes.length}] = {${bytes.join(', ')}};\n`,
})

function link(objects: readonly string[], elf: string, crc: number): void {
  const script = join(SOURCES, 'ninepin.ld')
  const flags = [
    '-nostdlib',
    '-Wl,--gc-sections',
    '-Wl,--build-id=none',
    '-Wl,--strip-debug',
    '-Wl,--fatal-warnings',
  ]
  run(
    COMPILER,
    [
      ...MACHINE,
      ...flags,
      '-T',
      script,
      `-Wl,--defsym=boot_block_crc=${crc}`,
      ...objects,
      '-lgcc',
      '-o',
      elf,
    ],
    SOURCES,
  )
}

function binaryOf(elf: string, work: string): Uint8Array {
  const bin = join(work, 'ninepin.bin')
  run(COPIER, ['-O', 'binary', elf, bin], work)
  return new Uint8Array(readFileSync(bin))
}

function run(program: string, given: readonly string[], folder: string): void {
  const { status, stderr, error } = spawnSync(program, given, { cwd: folder, encoding: 'utf8' })
  if (error) throw new Error(`${program} did not start: ${error.message}`)
  if (status !== 0) throw new Error(`${program} ${given.join(' ')}\n${stderr}`)
}
