import type { Capture, ChangeSink } from '../../../src/title/vcd/capture.ts'

/** Keeps all blocks of changes that it is given. */
export class ChangeCollector {
  readonly #blocks: Pick<Capture, 'timesNs' | 'values'>[] = []
  #count = 0

  readonly sink: ChangeSink = (timesNs, values) => {
    this.#blocks.push({ timesNs: timesNs.slice(), values: values.slice() })
    this.#count += values.length
  }

  /** All changes so far, in two columns. */
  columns(): Pick<Capture, 'timesNs' | 'values'> {
    const timesNs = new Float64Array(this.#count)
    const values = new Uint8Array(this.#count)
    let at = 0
    for (const block of this.#blocks) {
      timesNs.set(block.timesNs, at)
      values.set(block.values, at)
      at += block.values.length
    }
    return { timesNs, values }
  }
}
