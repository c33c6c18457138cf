import type { Result } from '../../port/result.ts'
import { err, ok } from '../../port/result.ts'
import type { Capture, Complaint, VcdFault } from './capture.ts'
import { MAX_VCD_BYTES } from './capture.ts'
import { ChangeReader } from './changes.ts'
import { HeaderReader } from './header.ts'
import { quote } from './text.ts'
import type { Wire } from './wires.ts'
import { WireFinder, wirePath } from './wires.ts'
import { WordScanner } from './words.ts'

export interface VcdOptions {
  /**
   * The wire to read: its name, or its full path with dots between the scopes, exactly as the file has it; either may
   * end in the bit that the file gives, as in `select[0]`. Usually `select`.
   */
  readonly signal?: string
}

/**
 * Reads one wire out of a four-state value change dump (source: IEEE 1364-2005, clause 18), chunk by chunk.
 * Nothing is thrown, whatever the bytes are.
 */
export class VcdReader {
  readonly #scanner = new WordScanner((bytes, from, to) => this.#word(bytes, from, to))
  readonly #finder: WireFinder
  readonly #header = new HeaderReader((wire) => this.#finder.add(wire))
  #wire: Wire | undefined
  #changes: ChangeReader | undefined
  #sizeBytes = 0
  #empty = true
  #fault: VcdFault | undefined

  constructor({ signal = 'select' }: VcdOptions = {}) {
    this.#finder = new WireFinder(signal)
  }

  /** Takes the next bytes. False says that a fault is certain already and more bytes would be in vain. */
  push(chunk: Uint8Array): boolean {
    if (this.#fault) return false
    this.#sizeBytes += chunk.length
    this.#note(this.#sizeBytes > MAX_VCD_BYTES ? TOO_LARGE : this.#scanner.push(chunk))
    return !this.#fault
  }

  /** The wire, or the first fault of the file. Nothing may be pushed afterwards. */
  finish(): Result<Capture, VcdFault> {
    if (!this.#fault) this.#note(this.#scanner.finish() ?? this.#cutOff())
    if (this.#fault) return err(this.#fault)
    const { changes, startNs, endNs } = (this.#changes as ChangeReader).taken
    return ok({ signalPath: wirePath(this.#wire as Wire), changes, startNs, endNs })
  }

  #word(bytes: Uint8Array, from: number, to: number): Complaint {
    if (this.#changes) return this.#changes.word(bytes, from, to)
    this.#empty = false
    const complaint = this.#header.word(bytes, from, to, this.#scanner.line)
    const header = this.#header.header
    if (complaint !== undefined || !header) return complaint
    const found = this.#finder.found(this.#scanner.line)
    if (!found.ok) {
      this.#fault = found.error
      return found.error.message
    }
    this.#wire = found.value
    this.#changes = new ChangeReader(header, found.value.code)
    return undefined
  }

  #cutOff(): Complaint {
    if (this.#empty) return 'The file is empty.'
    if (this.#changes) return this.#changes.finish()
    const keyword = this.#header.keyword
    return keyword === undefined
      ? 'The file is cut off: its header has no $enddefinitions.'
      : `The file is cut off inside ${quote(keyword)}, before its header ended.`
  }

  /** Keeps the first fault, at the present line unless it knows a better one. */
  #note(complaint: Complaint): void {
    if (complaint !== undefined) this.#fault ??= { line: this.#scanner.line, message: complaint }
  }
}

const TOO_LARGE = `The file is too large: a VCD may have ${MAX_VCD_BYTES / 1024 / 1024} MiB.`

/** Reads one wire out of a whole dump; see {@link VcdReader}. */
export function readVcd(bytes: Uint8Array, options: VcdOptions = {}): Result<Capture, VcdFault> {
  const reader = new VcdReader(options)
  reader.push(bytes)
  return reader.finish()
}
