import { mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { BadInput } from '../../src/cli/fail.ts'
import { chunksOf, writeWhole } from '../../src/cli/files.ts'

let folder = ''
beforeEach(() => (folder = mkdtempSync(join(tmpdir(), 'ninepin-files-'))))
afterEach(() => rmSync(folder, { recursive: true }))

describe('a file that is written in pieces', () => {
  it('is all of them', () => {
    const path = join(folder, 'out')
    writeWhole(
      path,
      (function* () {
        for (let k = 0; k < 1000; k++) yield `${k} ü\n`
      })(),
      [],
    )
    expect(readFileSync(path, 'utf8')).toBe(Array.from({ length: 1000 }, (_, k) => `${k} ü\n`).join(''))
  })

  it('is not touched where a piece cannot be made, and the fault goes on as it is', () => {
    const path = join(folder, 'out')
    writeFileSync(path, 'what stood there', { mode: 0o640 })
    const fault = new RangeError('no such piece')
    const pieces = function* () {
      yield 'half '
      throw fault
    }
    expect(() => writeWhole(path, pieces(), [])).toThrow(fault)
    expect(() => writeWhole(join(folder, 'new'), pieces(), [])).toThrow(fault)
    expect(readFileSync(path, 'utf8')).toBe('what stood there')
    expect(readdirSync(folder)).toEqual(['out'])
    expect(statSync(path).mode & 0o777).toBe(0o640)
  })
})

describe('a file that is read in chunks', () => {
  it('is all of them', () => {
    const path = join(folder, 'in')
    const bytes = Uint8Array.from({ length: 200_000 }, (_, k) => k * 7)
    writeFileSync(path, bytes)
    const chunks = Array.from(chunksOf(path), (chunk) => chunk.slice())
    expect(Buffer.concat(chunks).equals(bytes)).toBe(true)
    expect(Math.max(...chunks.map((chunk) => chunk.length))).toBe(65_536)
  })

  it('is refused in a sentence where it is none', () => {
    expect(() => chunksOf(join(folder, 'nowhere')).next()).toThrow(BadInput)
    expect(() => chunksOf(folder).next()).toThrow(BadInput)
  })
})
