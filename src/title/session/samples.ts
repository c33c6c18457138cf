import type { ChangeSink } from '../vcd/capture.ts'

const BLOCK = 4096

/** Picks the edges of one bit out of samples, wherever the pieces happen to end. */
export class SampleReader {
  /** Bytes so far. */
  bytes = 0
  readonly #unitBytes: number
  readonly #byte: number
  readonly #mask: number
  readonly #timeNs: (sample: number) => number
  readonly #sink: ChangeSink
  readonly #timesNs = new Float64Array(BLOCK)
  readonly #values = new Uint8Array(BLOCK)
  #count = 0
  /** The bit in its place; nothing before the first sample. */
  #level = -1

  constructor(unitBytes: number, bit: number, samplerateHz: number, sink: ChangeSink) {
    this.#unitBytes = unitBytes
    this.#byte = bit >> 3
    this.#mask = 1 << (bit & 7)
    this.#timeNs = sampleClock(samplerateHz)
    this.#sink = sink
  }

  push(piece: Uint8Array): void {
    const [unit, mask] = [this.#unitBytes, this.#mask]
    const before = this.bytes % unit
    let at = this.#byte - before + (before > this.#byte ? unit : 0)
    let present = this.#level
    for (; at < piece.length; at += unit) {
      const level = (piece[at] ?? 0) & mask
      if (level === present) continue
      present = level
      this.#change(Math.floor((this.bytes + at) / unit), level)
    }
    this.#level = present
    this.bytes += piece.length
  }

  /** Hands on what is left. @returns when the last sample has passed, in ns */
  finish(): number {
    this.#hand()
    return this.#timeNs(Math.floor(this.bytes / this.#unitBytes))
  }

  #change(sample: number, level: number): void {
    this.#timesNs[this.#count] = this.#timeNs(sample)
    this.#values[this.#count] = level === 0 ? 0 : 1
    if (++this.#count === BLOCK) this.#hand()
  }

  #hand(): void {
    this.#sink(this.#timesNs.subarray(0, this.#count), this.#values.subarray(0, this.#count))
    this.#count = 0
  }
}

/** When a sample was taken, in whole ns from the first, rounded down as the times of a VCD are. */
export function sampleClock(samplerateHz: number): (sample: number) => number {
  const divisor = greatestCommonDivisor(1e9, samplerateHz)
  const ns = 1e9 / divisor
  const samples = samplerateHz / divisor
  const exactUpTo = Number.MAX_SAFE_INTEGER / ns
  return (sample) =>
    sample <= exactUpTo
      ? // The remainder is exact, and so is the division of what it leaves.
        (sample * ns - ((sample * ns) % samples)) / samples
      : Number((BigInt(sample) * BigInt(ns)) / BigInt(samples))
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b)
}
