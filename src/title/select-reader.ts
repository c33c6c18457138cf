import { ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { LineCleaner } from './select-line.ts'
import type { SelectLine } from './select-line.ts'
import { MAX_VCD_CHANGES } from './vcd/capture.ts'
import type { VcdFault } from './vcd/capture.ts'
import { VcdReader } from './vcd/read.ts'
import type { VcdOptions } from './vcd/read.ts'

/** A select line, and what the dump calls it: scopes and name. */
export interface DumpedSelect extends SelectLine {
  readonly signalPath: string
}

/** As {@link VcdReader}, and keeps the wire as the select line that it is; one that changes more than 2^25 times is refused. */
export class SelectReader {
  readonly #line = new LineCleaner({ maxEdges: MAX_VCD_CHANGES })
  readonly #reader: VcdReader

  constructor(options: Pick<VcdOptions, 'signal'> = {}) {
    this.#reader = new VcdReader(this.#line.push, { ...options, maxChanges: MAX_VCD_CHANGES })
  }

  /** As {@link VcdReader.push}. */
  push(chunk: Uint8Array): boolean {
    return this.#reader.push(chunk)
  }

  /** The line, or the first fault of the file. Nothing may be pushed afterwards. */
  finish(): Result<DumpedSelect, VcdFault> {
    const span = this.#reader.finish()
    return span.ok ? ok({ ...this.#line.finish(span.value), signalPath: span.value.signalPath }) : span
  }
}
