import { foreign } from '../../words/foreign.ts'
import { Inflate } from 'fflate'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { Crc32 } from '../../document/crc32.ts'
import { t } from './session-texts.ts'

/**
 * Reads a zip file entry by entry, as its directory lists them (source: PKWARE APPNOTE.TXT 6.3). Only what session files need:
 * one disk, entries that are stored or deflated, no encryption, no zip64.
 */

/** One file in a zip. */
export interface ZipEntry {
  readonly name: string
  readonly method: number
  readonly crc: number
  readonly packedBytes: number
  readonly bytes: number
  /** Of its local header in the zip. */
  readonly at: number
}

/** A sentence. */
export type ZipFault = string

const SIGNATURE = { local: 0x04034b50, central: 0x02014b50, end: 0x06054b50 } as const
const SIZE = { local: 30, central: 46, end: 22 } as const
const METHOD = { stored: 0, deflated: 8 } as const
const ENCRYPTED = 1
/** What stands in a field whose value is in a zip64 record. */
const ZIP64 = 0xffffffff
const MAX_COMMENT = 0xffff

/** Whether a file begins as a zip does. */
export const looksLikeZip = (bytes: Uint8Array): boolean =>
  [0x50, 0x4b, 0x03, 0x04].every((byte, k) => bytes[k] === byte)

const viewOf = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)

/** The files in a zip by name. */
export function zipEntries(zip: Uint8Array): Result<ReadonlyMap<string, ZipEntry>, ZipFault> {
  const view = viewOf(zip)
  const end = findEnd(view)
  if (end === null) return err(t.zipCutOff)
  const count = view.getUint16(end + 10, true)
  const directory = view.getUint32(end + 16, true)
  let at = directory
  if (at === ZIP64) return err(t.zip64)
  const entries = new Map<string, ZipEntry>()
  for (let k = 0; k < count; k++) {
    if (at + SIZE.central > end || view.getUint32(at, true) !== SIGNATURE.central) return err(t.zipDamaged)
    const nameBytes = view.getUint16(at + 28, true)
    const name = foreign(
      new TextDecoder().decode(zip.subarray(at + SIZE.central, at + SIZE.central + nameBytes)),
    )
    const entry: ZipEntry = {
      name,
      method: view.getUint16(at + 10, true),
      crc: view.getUint32(at + 16, true),
      packedBytes: view.getUint32(at + 20, true),
      bytes: view.getUint32(at + 24, true),
      at: view.getUint32(at + 42, true),
    }
    if (view.getUint16(at + 8, true) & ENCRYPTED) return err(t.zipEncrypted)
    if ([entry.packedBytes, entry.bytes, entry.at].includes(ZIP64)) {
      return err(t.zip64)
    }
    if (entries.has(name)) return err(t.zipDamaged)
    entries.set(name, entry)
    at += SIZE.central + nameBytes + view.getUint16(at + 30, true) + view.getUint16(at + 32, true)
  }
  return overlap(zip, [...entries.values()], directory) ? err(t.zipOverlaps) : ok(entries)
}

/**
 * Whether two entries share bytes, or one reaches into the directory: a small file that is to keep a computer busy for hours is
 * made so. What has no sound place is left to {@link unpack}, which refuses it by its name.
 */
function overlap(zip: Uint8Array, entries: readonly ZipEntry[], directory: number): boolean {
  const spans = entries.flatMap((entry) => {
    const from = contentOf(zip, entry)
    return from === null ? [] : [{ from: entry.at, to: from + entry.packedBytes }]
  })
  spans.sort((one, other) => one.from - other.from)
  return spans.some(({ to }, k) => to > (spans[k + 1]?.from ?? directory))
}

/** Where the packed bytes of an entry begin; nothing where there is no local header, or where they do not end in the zip. */
function contentOf(zip: Uint8Array, { at, packedBytes }: ZipEntry): number | null {
  const view = viewOf(zip)
  if (at + SIZE.local > zip.length || view.getUint32(at, true) !== SIGNATURE.local) return null
  const from = at + SIZE.local + view.getUint16(at + 26, true) + view.getUint16(at + 28, true)
  return from + packedBytes > zip.length ? null : from
}

/** Where the record stands that ends a zip; a comment may follow it. */
function findEnd(view: DataView): number | null {
  const last = view.byteLength - SIZE.end
  for (let at = last; at >= 0 && at >= last - MAX_COMMENT; at--) {
    if (view.getUint32(at, true) === SIGNATURE.end && view.getUint16(at + 20, true) === last - at) return at
  }
  return null
}

/** How much of an entry is unpacked in one go; it may become a thousand times as much. */
const CHUNK_BYTES = 1 << 14

/**
 * Unpacks an entry piece by piece; a piece holds only during the call. Sizes and check sum have to be what the directory says.
 */
export function unpack(
  zip: Uint8Array,
  entry: ZipEntry,
  onPiece: (piece: Uint8Array) => void,
): Result<null, ZipFault> {
  const { method, packedBytes, name } = entry
  const damaged = err(t.entryDamaged({ name }))
  const from = contentOf(zip, entry)
  if (from === null) return damaged

  const crc = new Crc32()
  let bytes = 0
  const take = (piece: Uint8Array): void => {
    bytes += piece.length
    // More than the directory says: it lies, and what comes may have no end.
    if (bytes > entry.bytes) return
    crc.update(piece)
    onPiece(piece)
  }
  const packed = zip.subarray(from, from + packedBytes)
  if (method === METHOD.stored) take(packed)
  else if (method !== METHOD.deflated) return err(t.entryMethod({ name, method }))
  else if (!inflate(packed, take, () => bytes > entry.bytes)) return damaged
  return bytes === entry.bytes && crc.value === entry.crc ? ok(null) : damaged
}

/** False says that the stream is damaged. */
function inflate(packed: Uint8Array, take: (piece: Uint8Array) => void, enough: () => boolean): boolean {
  let ended = false
  const stream = new Inflate((piece, final) => {
    ended = final
    take(piece)
  })
  try {
    for (let from = 0; from < packed.length && !enough(); from += CHUNK_BYTES) {
      stream.push(packed.subarray(from, from + CHUNK_BYTES), from + CHUNK_BYTES >= packed.length)
    }
  } catch {
    return false
  }
  return ended
}
