import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { BadInput } from '../../src/cli/fail.ts'
import { chunksOf } from '../../src/cli/files.ts'

let folder = ''
beforeEach(() => (folder = mkdtempSync(join(tmpdir(), 'ninepin-files-'))))
afterEach(() => rmSync(folder, { recursive: true }))

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
