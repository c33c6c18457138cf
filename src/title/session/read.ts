import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { CaptureSpan, ChangeSink } from '../vcd/capture.ts'
import type { SessionChannel, SessionMetadata } from './metadata.ts'
import { parseMetadata } from './metadata.ts'
import { SampleReader } from './samples.ts'
import { t } from './session-texts.ts'
import { unpack, zipEntries } from './zip.ts'
import type { ZipEntry } from './zip.ts'
import { listWords } from '../../words/lists.ts'

/** Why a session file was refused. */
export interface SessionFault {
  /** The entry of the zip where it is wrong; empty where it is the whole. */
  readonly entry: string
  /** One sentence or two. */
  readonly message: string
}

export interface SessionCapture extends CaptureSpan {
  readonly samplerateHz: number
}

/** Largest session file that is read: 256 MiB, packed. */
export const MAX_SESSION_BYTES = 256 * 1024 * 1024

/**
 * Most bytes of samples that are unpacked: 4 GiB, three minutes of eight channels at 24 MHz. Deflate packs up to 1032 to 1 (a
 * line at rest comes near to it), so this and not the size of the file bounds how long a session can take.
 */
export const MAX_SAMPLE_BYTES = 4 * 1024 ** 3
const MAX_TEXT_BYTES = 65_536
/** Formats of these versions are read; they differ in the names of the entries with the samples. */
const VERSIONS = ['1', '2']

/**
 * A session file of sigrok's, version 1 or 2: a zip with `version`, `metadata` and the logic samples in `logic-1`, or in pieces
 * `logic-1-1`, `logic-1-2` and so on. Checked against what sigrok-cli writes and reads (`tests/outside/session-sigrok.test.ts`).
 */
export class Session {
  readonly #zip: Uint8Array
  readonly #metadata: SessionMetadata
  readonly #pieces: readonly ZipEntry[]

  private constructor(zip: Uint8Array, metadata: SessionMetadata, pieces: readonly ZipEntry[]) {
    this.#zip = zip
    this.#metadata = metadata
    this.#pieces = pieces
  }

  /** Reads all but the samples. */
  static open(zip: Uint8Array): Result<Session, SessionFault> {
    if (zip.length > MAX_SESSION_BYTES) {
      return refuse('', t.tooLarge({ mib: MAX_SESSION_BYTES / 1024 / 1024 }))
    }
    const entries = zipEntries(zip)
    if (!entries.ok) return refuse('', entries.error)
    const version = textIn(zip, entries.value, 'version')
    if (!version.ok) return version
    if (!VERSIONS.includes(version.value.trim())) {
      return refuse('version', t.otherVersion({ versions: listWords(VERSIONS) }))
    }
    const text = textIn(zip, entries.value, 'metadata')
    if (!text.ok) return text
    const metadata = parseMetadata(text.value)
    if (!metadata.ok) return refuse('metadata', metadata.error)
    const pieces = piecesOf(entries.value, metadata.value.captureFile)
    return pieces.ok ? ok(new Session(zip, metadata.value, pieces.value)) : pieces
  }

  get channels(): readonly SessionChannel[] {
    return this.#metadata.channels
  }

  /**
   * Reads one channel. The sink gets the first level at 0 ns, then every change, at the sample that shows it.
   *
   * @param along more channels, which are unpacked at the same time
   */
  read(
    channel: SessionChannel,
    sink: ChangeSink,
    along: readonly { readonly channel: SessionChannel; readonly sink: ChangeSink }[] = [],
  ): Result<SessionCapture, SessionFault> {
    const { unitBytes, samplerateHz } = this.#metadata
    const samples = new SampleReader(unitBytes, channel.bit, samplerateHz, sink)
    const others = along.map((one) => new SampleReader(unitBytes, one.channel.bit, samplerateHz, one.sink))
    for (const piece of this.#pieces) {
      const unpacked = unpack(this.#zip, piece, (bytes) => {
        samples.push(bytes)
        for (const other of others) other.push(bytes)
      })
      if (!unpacked.ok) return refuse(piece.name, unpacked.error)
    }
    if (samples.bytes % unitBytes !== 0) {
      return refuse(this.#pieces.at(-1)?.name ?? '', t.lastSample({ bytes: unitBytes }))
    }
    for (const other of others) other.finish()
    return ok({ signalPath: channel.name, startNs: 0, endNs: samples.finish(), samplerateHz })
  }
}

const refuse = (entry: string, message: string): { readonly ok: false; readonly error: SessionFault } =>
  err({ entry, message })

function textIn(
  zip: Uint8Array,
  entries: ReadonlyMap<string, ZipEntry>,
  name: string,
): Result<string, SessionFault> {
  const entry = entries.get(name)
  if (entry === undefined) return refuse('', t.noEntry({ name }))
  if (entry.bytes > MAX_TEXT_BYTES)
    return refuse(name, t.entryTooLarge({ bytes: entry.bytes, most: MAX_TEXT_BYTES }))
  const decoder = new TextDecoder()
  let text = ''
  const unpacked = unpack(zip, entry, (piece) => (text += decoder.decode(piece, { stream: true })))
  return unpacked.ok ? ok(text + decoder.decode()) : refuse(name, unpacked.error)
}

/** The entries with the samples, in order. */
function piecesOf(
  entries: ReadonlyMap<string, ZipEntry>,
  captureFile: string,
): Result<readonly ZipEntry[], SessionFault> {
  const whole = entries.get(captureFile)
  const pieces: ZipEntry[] = whole === undefined ? [] : [whole]
  if (whole === undefined) {
    for (let number = 1; ; number++) {
      const piece = entries.get(`${captureFile}-${number}`)
      if (piece === undefined) break
      pieces.push(piece)
    }
    const listed = [...entries.keys()].filter((name) => isPiece(name, captureFile)).length
    if (listed > pieces.length) {
      return refuse('', t.pieceMissing({ name: `${captureFile}-${pieces.length + 1}` }))
    }
  }
  if (pieces.length === 0) return refuse('', t.samplesMissing({ name: captureFile }))
  const bytes = pieces.reduce((sum, piece) => sum + piece.bytes, 0)
  if (bytes > MAX_SAMPLE_BYTES) {
    return refuse('', t.tooManySamples({ bytes, most: MAX_SAMPLE_BYTES }))
  }
  return ok(pieces)
}

const isPiece = (name: string, captureFile: string): boolean =>
  name.startsWith(`${captureFile}-`) && /^\d+$/.test(name.slice(captureFile.length + 1))
