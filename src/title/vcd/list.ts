import type { Result } from '../../port/result.ts'
import { err, ok } from '../../port/result.ts'
import type { Complaint, VcdFault } from './capture.ts'
import { HeaderReader } from './header.ts'
import { hasLevel, wirePath } from './wires.ts'
import { WordScanner } from './word-scanner.ts'

/** A wire that can be asked for. */
export interface ListedWire {
  /** Its name alone, with the bit where the file gives one. */
  readonly name: string
  /** Scopes and name; what {@link VcdOptions.signal} may be. */
  readonly path: string
}

/** Lists the one-bit wires that the header of a dump declares, each path once and in the file's order; reads no further. */
export class WireLister {
  readonly #wires = new Map<string, ListedWire>()
  readonly #header = new HeaderReader((wire) => {
    const path = wirePath(wire)
    if (wire.bits === 1 && hasLevel(wire)) this.#wires.set(path, { name: wire.name + wire.range, path })
  })
  readonly #scanner: WordScanner = new WordScanner((bytes, from, to) =>
    this.#header.header ? undefined : this.#header.word(bytes, from, to, this.#scanner.line),
  )
  #fault: VcdFault | undefined

  /** Takes the next bytes. False says that no more are needed: the header has ended, or has a fault. */
  push(chunk: Uint8Array): boolean {
    if (!this.#done) this.#note(this.#scanner.push(chunk))
    return !this.#done
  }

  /** The wires, or the first fault of the header. Nothing may be pushed afterwards. */
  finish(): Result<readonly ListedWire[], VcdFault> {
    if (!this.#done) this.#note(this.#scanner.finish())
    if (!this.#done) this.#note(this.#header.finish())
    return this.#fault ? err(this.#fault) : ok([...this.#wires.values()])
  }

  get #done(): boolean {
    return this.#fault !== undefined || this.#header.header !== undefined
  }

  /** What is wrong behind the header is no fault of it. */
  #note(complaint: Complaint): void {
    if (complaint !== undefined && !this.#header.header)
      this.#fault = { line: this.#scanner.line, message: complaint }
  }
}
