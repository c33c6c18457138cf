import { randomBytes } from 'node:crypto'
import {
  accessSync,
  chmodSync,
  closeSync,
  constants,
  fstatSync,
  openSync,
  readSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import type { Stats } from 'node:fs'
import { dirname, join } from 'node:path'
import type { DocumentError } from '../document/document.ts'
import type { Layout } from '../pad/layout/schema.ts'
import type { Result } from '../port/result.ts'
import { BUILT_IN_PROFILES, isBuiltIn } from '../profile/built-in.ts'
import { decodeImage, layoutsOfImage } from '../profile/decode-image.ts'
import { readProfile } from '../profile/file.ts'
import { IMAGE_MAGIC, IMAGE_MAX_BYTES } from '../profile/image-layout.ts'
import { LIMITS } from '../profile/schema.ts'
import type { Profile } from '../profile/schema.ts'
import { readTitle } from '../title/file.ts'
import { TITLE_LIMITS } from '../title/schema.ts'
import type { Title } from '../title/schema.ts'
import { BadInput } from './fail.ts'

const NO_SUCH_FILE = 'there is no such file'
const A_FOLDER = 'this is a folder, not a file'

const WHY: Record<string, string> = {
  ENOENT: NO_SUCH_FILE,
  EACCES: 'this file may not be opened; check its permissions',
  EPERM: 'this file may not be opened; check its permissions',
  EISDIR: A_FOLDER,
  ENOTDIR: 'a part of this path is not a folder',
  ENAMETOOLONG: 'this name is too long',
  ELOOP: 'this link leads in a circle',
}

/** What the same codes mean where a file is written. */
const WHY_NOT_WRITTEN: Record<string, string> = {
  ...WHY,
  ENOENT: 'there is no such folder',
  EACCES: 'this file or its folder is write-protected',
  EPERM: 'this file or its folder is write-protected',
  EROFS: 'this disk is read-only',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk space you may use is full',
}

const why = (cause: unknown, known = WHY): string => {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : ''
  return known[code] ?? `the system says ${code || String(cause)}`
}

/** A path as a sentence can begin with it. */
const named = (path: string): string => (path === '' ? '""' : path)

/** The bytes of a file that has `maxBytes` at most; a larger one is not read at all. */
export function readBytes(path: string, maxBytes: number): Uint8Array<ArrayBuffer> {
  let file: number | undefined
  try {
    file = openSync(path, 'r')
    const stat = fstatSync(file)
    if (stat.isDirectory()) throw new BadInput(path, '', A_FOLDER)
    // A pipe says 0 here; it is read up to the limit all the same.
    if (stat.size > maxBytes) throw tooLarge(path, maxBytes)
    return readUpTo(file, path, maxBytes)
  } catch (cause) {
    throw unreadable(path, cause)
  } finally {
    if (file !== undefined) closeSync(file)
  }
}

const unreadable = (path: string, cause: unknown): BadInput =>
  cause instanceof BadInput ? cause : new BadInput(named(path), '', why(cause))

/** What Node itself reads of a file at once. */
const CHUNK_BYTES = 2 ** 16

/** The bytes of a file of any size, in chunks that stand in the same memory one after the other. */
export function* chunksOf(path: string): Generator<Uint8Array, void> {
  let file: number | undefined
  try {
    file = openSync(path, 'r')
    if (fstatSync(file).isDirectory()) throw new BadInput(path, '', A_FOLDER)
    const chunk = new Uint8Array(CHUNK_BYTES)
    for (let count; (count = readSync(file, chunk)) > 0;) yield chunk.subarray(0, count)
  } catch (cause) {
    throw unreadable(path, cause)
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

/** What is written: at once, or in pieces that are made while they are written. */
type Content = Uint8Array | string | Generator<string, void>

/**
 * Writes a file whole or not at all: what stood there before stays until the new content is complete.
 *
 * @param inputs what the content was made from; none of it is written over
 */
export function writeWhole(path: string, content: Content, inputs: readonly string[]): void {
  try {
    const there = statOf(path)
    if (there?.isDirectory()) throw new BadInput(path, '', `cannot be written: ${A_FOLDER}`)
    if (there?.isFile() && inputs.some((input) => sameFile(there, statOf(input)))) {
      throw new BadInput(path, '', 'this is what was read; choose another name to write to')
    }
    if (there === undefined) replace(path, content)
    else if (there.isFile()) {
      // A link keeps leading to the file, and the file keeps its mode; a protected one stays as it is.
      accessSync(path, constants.W_OK)
      replace(realpathSync(path), content, there.mode)
    }
    // A pipe or a device has nothing to keep, and must not be replaced by a file.
    else writeAll(path, content, 'w')
  } catch (cause) {
    // What the system did not say is a fault in making the content.
    if (cause instanceof BadInput || !(cause instanceof Error && 'code' in cause)) throw cause
    throw new BadInput(named(path), '', `cannot be written: ${why(cause, WHY_NOT_WRITTEN)}`)
  }
}

function writeAll(path: string, content: Content, flag: 'w' | 'wx'): void {
  const pieces = typeof content === 'string' || content instanceof Uint8Array ? [content] : content
  const file = openSync(path, flag)
  try {
    for (const piece of pieces) writeFileSync(file, piece)
  } finally {
    closeSync(file)
  }
}

function replace(path: string, content: Content, mode?: number): void {
  const beside = join(dirname(path), `.ninepin-${randomBytes(6).toString('hex')}`)
  try {
    writeAll(beside, content, 'wx')
    if (mode !== undefined) chmodSync(beside, mode)
    renameSync(beside, path)
  } catch (cause) {
    rmSync(beside, { force: true })
    throw cause
  }
}

/** What stands at a path; nothing where nothing does, or where it cannot be told. */
const statOf = (path: string): Stats | undefined => {
  try {
    return statSync(path)
  } catch {
    return undefined
  }
}

const sameFile = (one: Stats, other: Stats | undefined): boolean =>
  one.ino === other?.ino && one.dev === other.dev

export const inFile = <T>(path: string, result: Result<T, DocumentError>): T => {
  if (result.ok) return result.value
  throw new BadInput(path, result.error.place, result.error.message)
}

/** A profile, and the layouts of the pads that an image holds beside it. */
export interface ProfileAndPads {
  readonly profile: Profile
  readonly layouts: readonly Layout[]
}

/** A profile by its built-in name, or from a profile file or an image; pads only from an image. */
export function loadContent(nameOrPath: string): ProfileAndPads {
  if (isBuiltIn(nameOrPath)) return { profile: BUILT_IN_PROFILES[nameOrPath], layouts: [] }
  let bytes: Uint8Array
  try {
    bytes = readBytes(nameOrPath, LIMITS.fileBytes)
  } catch (cause) {
    if (!(cause instanceof BadInput) || cause.complaint !== NO_SUCH_FILE) throw cause
    const names = Object.keys(BUILT_IN_PROFILES).join(', ')
    throw new BadInput(
      named(nameOrPath),
      '',
      `there is no such file, and no built-in profile of that name (${names})`,
    )
  }
  return IMAGE_MAGIC.every((byte, k) => bytes[k] === byte)
    ? imageIn(nameOrPath, bytes)
    : { profile: inFile(nameOrPath, readProfile(bytes)), layouts: [] }
}

export const loadProfile = (nameOrPath: string): Profile => loadContent(nameOrPath).profile

function imageIn(path: string, bytes: Uint8Array): ProfileAndPads {
  const profile = decodeImage(bytes)
  if (profile.ok) return { profile: profile.value, layouts: layoutsOfImage(bytes) }
  throw new BadInput(path, `byte ${profile.error.byte}`, profile.error.message)
}

export const loadImageFile = (path: string): ProfileAndPads =>
  imageIn(path, readBytes(path, 64 * IMAGE_MAX_BYTES))

export const loadTitle = (path: string): Title =>
  inFile(path, readTitle(readBytes(path, TITLE_LIMITS.fileBytes)))
