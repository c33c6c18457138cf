import { randomBytes } from 'node:crypto'
import { closeSync, fstatSync, openSync, readSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import type { DocumentError } from '../document/document.ts'
import type { Result } from '../port/result.ts'
import { BUILT_IN_PROFILES, isBuiltIn } from '../profile/built-in.ts'
import { decodeImage } from '../profile/decode-image.ts'
import { readProfile } from '../profile/file.ts'
import { IMAGE_MAGIC, IMAGE_MAX_BYTES } from '../profile/image-layout.ts'
import { LIMITS } from '../profile/schema.ts'
import type { Profile } from '../profile/schema.ts'
import { readTitle } from '../title/file.ts'
import { TITLE_LIMITS } from '../title/schema.ts'
import type { Title } from '../title/schema.ts'
import { BadInput } from './fail.ts'

const WHY: Record<string, string> = {
  ENOENT: 'there is no such file',
  EACCES: 'this file may not be opened; check its permissions',
  EPERM: 'this file may not be opened; check its permissions',
  EISDIR: 'this is a folder, not a file',
  ENOTDIR: 'a part of this path is not a folder',
  ENOSPC: 'the disk is full',
  EROFS: 'this disk is read-only',
}

const why = (cause: unknown): string => {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : ''
  return WHY[code] ?? `the system says ${code || String(cause)}`
}

/** The bytes of a file that has `maxBytes` at most; a larger one is not read at all. */
export function readBytes(path: string, maxBytes: number): Uint8Array<ArrayBuffer> {
  let file: number | undefined
  try {
    file = openSync(path, 'r')
    const stat = fstatSync(file)
    if (stat.isDirectory()) throw new BadInput(path, '', WHY['EISDIR'] as string)
    // A pipe says 0 here; it is read up to the limit all the same.
    if (stat.size > maxBytes) throw tooLarge(path, maxBytes)
    return readUpTo(file, path, maxBytes)
  } catch (cause) {
    throw cause instanceof BadInput ? cause : new BadInput(path, '', why(cause))
  } finally {
    if (file !== undefined) closeSync(file)
  }
}

const tooLarge = (path: string, maxBytes: number) =>
  new BadInput(path, '', `the file is too large; ${maxBytes} bytes at most are read`)

function readUpTo(file: number, path: string, maxBytes: number): Uint8Array<ArrayBuffer> {
  const pieces: Uint8Array[] = []
  let total = 0
  for (;;) {
    const piece = new Uint8Array(Math.min(1 << 20, maxBytes + 1 - total))
    const count = readSync(file, piece)
    if (count === 0) break
    pieces.push(piece.subarray(0, count))
    total += count
    if (total > maxBytes) throw tooLarge(path, maxBytes)
  }
  const whole = new Uint8Array(total)
  let at = 0
  for (const piece of pieces) {
    whole.set(piece, at)
    at += piece.length
  }
  return whole
}

/** Writes a file whole or not at all: what stood there before stays until the new content is complete. */
export function writeWhole(path: string, content: Uint8Array | string): void {
  const beside = join(dirname(path), `.${basename(path)}.${randomBytes(4).toString('hex')}`)
  try {
    writeFileSync(beside, content)
    renameSync(beside, path)
  } catch (cause) {
    rmSync(beside, { force: true })
    throw new BadInput(path, '', `cannot be written: ${why(cause)}`)
  }
}

const inFile = <T>(path: string, result: Result<T, DocumentError>): T => {
  if (result.ok) return result.value
  throw new BadInput(path, result.error.place, result.error.message)
}

/** A profile by its built-in name, or from a profile file or an image. */
export function loadProfile(nameOrPath: string): Profile {
  if (isBuiltIn(nameOrPath)) return BUILT_IN_PROFILES[nameOrPath]
  let bytes: Uint8Array
  try {
    bytes = readBytes(nameOrPath, LIMITS.fileBytes)
  } catch (cause) {
    if (!(cause instanceof BadInput) || cause.complaint !== WHY['ENOENT']) throw cause
    const names = Object.keys(BUILT_IN_PROFILES).join(', ')
    throw new BadInput(
      nameOrPath,
      '',
      `there is no such file, and no built-in profile of that name (${names})`,
    )
  }
  return IMAGE_MAGIC.every((byte, k) => bytes[k] === byte)
    ? imageIn(nameOrPath, bytes)
    : inFile(nameOrPath, readProfile(bytes))
}

function imageIn(path: string, bytes: Uint8Array): Profile {
  const profile = decodeImage(bytes)
  if (profile.ok) return profile.value
  throw new BadInput(path, `byte ${profile.error.byte}`, profile.error.message)
}

export const loadImageFile = (path: string): Profile => imageIn(path, readBytes(path, 64 * IMAGE_MAX_BYTES))

export const loadTitle = (path: string): Title =>
  inFile(path, readTitle(readBytes(path, TITLE_LIMITS.fileBytes)))
