import type { Result } from '../../../src/port/result.ts'
import { ok } from '../../../src/port/result.ts'
import type { Capture, VcdFault } from '../../../src/title/vcd/capture.ts'
import { MAX_VCD_CHANGES } from '../../../src/title/vcd/capture.ts'
import { VcdReader } from '../../../src/title/vcd/read.ts'
import type { VcdOptions } from '../../../src/title/vcd/read.ts'
import { ChangeCollector } from './collect.ts'

/** As {@link VcdReader}, and keeps all changes of the wire: {@link MAX_VCD_CHANGES} unless the options say otherwise. */
export class CaptureReader {
  readonly #collector = new ChangeCollector()
  readonly #reader: VcdReader

  constructor(options: VcdOptions = {}) {
    this.#reader = new VcdReader(this.#collector.sink, { maxChanges: MAX_VCD_CHANGES, ...options })
  }

  /** As {@link VcdReader.push}. */
  push(chunk: Uint8Array): boolean {
    return this.#reader.push(chunk)
  }

  /** The wire, or the first fault of the file. Nothing may be pushed afterwards. */
  finish(): Result<Capture, VcdFault> {
    const span = this.#reader.finish()
    return span.ok ? ok({ ...span.value, ...this.#collector.columns() }) : span
  }
}
