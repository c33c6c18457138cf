import { createHash } from 'node:crypto'
import { closeSync, fstatSync, openSync, readSync, statSync } from 'node:fs'
import type { DocumentError } from '../document/document.ts'
import { t as documentTexts } from '../document/document-texts.ts'
import type { Layout } from '../pad/layout/schema.ts'
import type { Result } from '../port/result.ts'
import { BUILT_IN_PROFILES, isBuiltIn } from '../profile/built-in.ts'
import { isImage } from '../profile/check-envelope.ts'
import { decodeImage, layoutsOfImage, sweepOfImage } from '../profile/decode-image.ts'
import { readProfile } from '../profile/file.ts'
import { IMAGE_MAX_BYTES } from '../profile/image-layout.ts'
import { LIMITS } from '../profile/schema.ts'
import type { Profile } from '../profile/schema.ts'
import { readTitle } from '../title/file.ts'
import { TITLE_LIMITS } from '../title/title-limits.ts'
import type { Sweep } from '../profile/sweep.ts'
import type { Title } from '../title/schema.ts'
import { BadInput } from './fail.ts'
import { profileNames } from './command.ts'
import { fileTexts as t } from './fault-texts.ts'
import { named, why } from './why.ts'

/** The bytes of a file that has `maxBytes` at most; a larger one is not read at all. */
export function readBytes(path: string, maxBytes: number): Uint8Array<ArrayBuffer> {
  let file: number | undefined
  try {
    file = openSync(path, 'r')
    const stat = fstatSync(file)
    if (stat.isDirectory()) throw new BadInput(path, '', t.isFolder)
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

/** SHA-256 and length of a file; `null` for a pipe, which cannot be read twice. */
export function hashOf(path: string): { readonly sha256: string; readonly bytes: number } | null {
  if (!statSync(path).isFile()) return null
  const hash = createHash('sha256')
  let bytes = 0
  for (const chunk of chunksOf(path)) {
    hash.update(chunk)
    bytes += chunk.length
  }
  return { sha256: hash.digest('hex'), bytes }
}

/** The bytes of a file of any size, in chunks that stand in the same memory one after the other. */
export function* chunksOf(path: string): Generator<Uint8Array, void> {
  let file: number | undefined
  try {
    file = openSync(path, 'r')
    if (fstatSync(file).isDirectory()) throw new BadInput(path, '', t.isFolder)
    const chunk = new Uint8Array(CHUNK_BYTES)
    for (let count; (count = readSync(file, chunk)) > 0;) yield chunk.subarray(0, count)
  } catch (cause) {
    throw unreadable(path, cause)
  } finally {
    if (file !== undefined) closeSync(file)
  }
}

const tooLarge = (path: string, maxBytes: number) => new BadInput(path, '', t.tooLarge({ most: maxBytes }))

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

export const inFile = <T>(path: string, result: Result<T, DocumentError>): T => {
  if (result.ok) return result.value
  throw new BadInput(path, result.error.place, result.error.message)
}

/** A profile, and the layouts of the pads that an image holds beside it. */
export interface ProfileAndPads {
  readonly profile: Profile
  readonly layouts: readonly Layout[]
  /** Late replies, only from an image. */
  readonly sweep: Sweep | null
}

/** A profile by its built-in name, or from a profile file or an image; pads only from an image. */
export function loadContent(nameOrPath: string): ProfileAndPads {
  if (isBuiltIn(nameOrPath)) return { profile: BUILT_IN_PROFILES[nameOrPath], layouts: [], sweep: null }
  let bytes: Uint8Array
  try {
    bytes = readBytes(nameOrPath, LIMITS.fileBytes)
  } catch (cause) {
    if (!(cause instanceof BadInput) || cause.complaint !== t.noFile) throw cause
    throw new BadInput(named(nameOrPath), '', t.noFileNorProfile({ names: profileNames() }))
  }
  return isImage(bytes)
    ? imageIn(nameOrPath, bytes)
    : { profile: inFile(nameOrPath, readProfile(bytes)), layouts: [], sweep: null }
}

export const loadProfile = (nameOrPath: string): Profile => loadContent(nameOrPath).profile

function imageIn(path: string, bytes: Uint8Array): ProfileAndPads {
  const profile = decodeImage(bytes)
  if (profile.ok)
    return { profile: profile.value, layouts: layoutsOfImage(bytes), sweep: sweepOfImage(bytes) }
  throw new BadInput(path, documentTexts.atByte({ byte: profile.error.byte }), profile.error.message)
}

export const loadImageFile = (path: string): ProfileAndPads =>
  imageIn(path, readBytes(path, 64 * IMAGE_MAX_BYTES))

export const loadTitle = (path: string): Title =>
  inFile(path, readTitle(readBytes(path, TITLE_LIMITS.fileBytes)))
