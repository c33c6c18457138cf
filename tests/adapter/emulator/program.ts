import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { bootChecksum } from '../../../src/adapter/emulator/boot.ts'

export const COMPILER = 'arm-none-eabi-gcc'
const FOLDER = new URL('programs/', import.meta.url).pathname

/** Compiles a C program (with `chip.h` at hand) to what stands in flash. */
export function compile(source: string): Uint8Array {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-program-'))
  try {
    const [c, elf, bin] = ['program.c', 'program.elf', 'program.bin'].map((name) => join(folder, name)) as [
      string,
      string,
      string,
    ]
    writeFileSync(c, `#include "chip.h"\n${source}`)
    const flags = [
      '-mcpu=cortex-m0plus',
      '-mthumb',
      '-Os',
      '-ffreestanding',
      '-nostdlib',
      '-Wall',
      '-Wno-unused-function',
    ]
    const link = ['-T', join(FOLDER, 'link.ld'), '-Wl,--no-warn-rwx-segments']
    execFileSync(COMPILER, [...flags, `-I${FOLDER}`, join(FOLDER, 'start.S'), c, ...link, '-o', elf, '-lgcc'])
    execFileSync('arm-none-eabi-objcopy', ['-O', 'binary', elf, bin])
    const flash = Uint8Array.from(readFileSync(bin))
    new DataView(flash.buffer).setUint32(252, bootChecksum(flash), true)
    return flash
  } finally {
    rmSync(folder, { recursive: true })
  }
}
