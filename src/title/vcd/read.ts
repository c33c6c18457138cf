import type { Result } from '../../port/result.ts'
import { err, ok } from '../../port/result.ts'
import { ChangeBlock } from './block.ts'
import type { CaptureSpan, ChangeSink, Complaint, VcdFault } from './capture.ts'
import { ChangeReader } from './changes.ts'
import { HeaderReader } from './header.ts'
import type { Wire } from './wires.ts'
import { WireFinder, wirePath } from './wires.ts'
import { WordScanner } from './word-scanner.ts'

export interface VcdOptions {
  /**
   * The wire to read: its name, or its full path with dots between the scopes, exactly as the file has it; either may
   * end in the bit that the file gives, as in `select[0]`. Usually `select`.
   */
  readonly signal?: string
  /** A file in which the wire changes more often is refused. */
  readonly maxChanges?: number
}

/**
 * Reads one wire out of a four-state value change dump (source: IEEE 1364-2005, clause 18), chunk by chunk and in a few hundred
 * kilobytes of memory, however long the dump is. Nothing is thrown, whatever the bytes are.
 */
export class VcdReader {
  readonly #scanner = new WordScanner(
    (bytes, from, to) => this.#word(bytes, from, to),
    (bytes, from, to) => this.#lines(bytes, from, to),
  )
  readonly #finder: WireFinder
  readonly #header = new HeaderReader((wire) => this.#finder.add(wire))
  readonly #block: ChangeBlock
  #wire: Wire | undefined
  #changes: ChangeReader | undefined
  #fault: VcdFault | undefined

  /** @param sink gets the changes; what it got before a fault is right as far as it goes */
  constructor(sink: ChangeSink, { signal = 'select', maxChanges = Infinity }: VcdOptions = {}) {
    this.#finder = new WireFinder(signal)
    this.#block = new ChangeBlock(sink, maxChanges)
  }

  /** Takes the next bytes. False says that a fault is certain already and more bytes would be in vain. */
  push(chunk: Uint8Array): boolean {
    if (!this.#fault) this.#note(this.#scanner.push(chunk))
    return !this.#fault
  }

  /** Hands on the last changes and tells the span, or the first fault of the file. Nothing may be pushed afterwards. */
  finish(): Result<CaptureSpan, VcdFault> {
    if (!this.#fault) this.#note(this.#scanner.finish() ?? (this.#changes ?? this.#header).finish())
    if (this.#fault) return err(this.#fault)
    this.#block.hand()
    return ok({ signalPath: wirePath(this.#wire as Wire), ...(this.#changes as ChangeReader).span })
  }

  #word(bytes: Uint8Array, from: number, to: number): Complaint {
    if (this.#changes) return this.#changes.word(bytes, from, to)
    const complaint = this.#header.word(bytes, from, to, this.#scanner.line)
    const header = this.#header.header
    if (complaint !== undefined || !header) return complaint
    const found = this.#finder.found(this.#scanner.line)
    if (!found.ok) {
      this.#fault = found.error
      return found.error.message
    }
    this.#wire = found.value
    this.#changes = new ChangeReader(header, found.value.code, this.#block)
    return undefined
  }

  #lines(bytes: Uint8Array, from: number, to: number): number {
    if (!this.#changes) return from
    let at = from
    do {
      at = this.#changes.lines(bytes, at, to)
      this.#scanner.line += this.#changes.linesTaken
    } while (this.#changes.linesTaken > 0)
    return at
  }

  /** Keeps the first fault, at the present line unless it knows a better one. */
  #note(complaint: Complaint): void {
    if (complaint !== undefined) this.#fault ??= { line: this.#scanner.line, message: complaint }
  }
}
