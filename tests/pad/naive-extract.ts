import { CONTROLS } from '../../src/pad/controls.ts'
import type { Control } from '../../src/pad/controls.ts'
import type { Extractor, Layout } from '../../src/pad/layout/schema.ts'

/** IMAGE.md ("From a report to controls") once more, word by word, in whole numbers without end and without a line of the reader's. */

export interface NaiveState {
  readonly held: readonly Control[]
  readonly axes: Readonly<Record<string, number>>
}

const bitOf = (data: Uint8Array, k: number): bigint =>
  (BigInt(data[Math.floor(k / 8)] ?? 0) >> BigInt(k % 8)) & 1n

function naiveValue(data: Uint8Array, bit: number, bits: number, signed: boolean): bigint {
  let value = 0n
  for (let k = 0; k < bits; k++) {
    const weight = 2n ** BigInt(k)
    value += bitOf(data, bit + k) * (signed && k === bits - 1 ? -weight : weight)
  }
  return value
}

const CLOCKWISE = ['up', 'up right', 'right', 'down right', 'down', 'down left', 'left', 'up left']

function naiveAxis(value: bigint, low: bigint, centre: bigint, high: bigint): bigint {
  const [least, most] = low < high ? [low, high] : [high, low]
  const v = value < least ? least : value > most ? most : value
  const distance = (a: bigint, b: bigint) => (a > b ? a - b : b - a)
  const lowSide = v < centre ? low < centre : low > centre
  let d = distance(v, centre)
  let s = distance(lowSide ? low : high, centre)
  while (s >= 32768n) {
    d /= 2n
    s /= 2n
  }
  const factor = (2_147_418_112n + s - 1n) / s
  const amount = (d * factor) / 65536n
  const most15 = amount > 32767n ? 32767n : amount
  return lowSide ? -most15 : most15
}

export class NaivePad {
  readonly #said: { held: readonly Control[]; axis: bigint }[]
  readonly #extractors: readonly Extractor[]

  constructor({ extractors }: Pick<Layout, 'extractors'>) {
    this.#extractors = extractors
    this.#said = extractors.map(() => ({ held: [], axis: 0n }))
  }

  report(bytes: Uint8Array): NaiveState {
    const numbered = this.#extractors.some(({ field }) => field.report !== 0)
    if (!numbered || bytes.length > 0) {
      const number = numbered ? bytes[0] : 0
      const data = numbered ? bytes.slice(1) : bytes
      this.#extractors.forEach((extractor, k) => {
        const { report, bit, bits } = extractor.field
        const fields = extractor.kind === 'array' ? extractor.count : 1
        if (report !== number || bit + bits * fields > 8 * data.length) return
        this.#said[k] = this.#says(extractor, data, (this.#said[k]?.held.length ?? 0) > 0)
      })
    }
    const held = new Set(this.#said.flatMap((one) => one.held))
    return {
      held: CONTROLS.filter((control) => held.has(control)),
      axes: Object.fromEntries(
        this.#extractors.flatMap((one, k) =>
          one.kind === 'axis' ? [[`${one.stick} ${one.axis}`, Number(this.#said[k]?.axis ?? 0n)]] : [],
        ),
      ),
    }
  }

  #says(extractor: Extractor, data: Uint8Array, before: boolean): { held: readonly Control[]; axis: bigint } {
    const { bit, bits, signed } = extractor.field
    const value = naiveValue(data, bit, bits, signed)
    const held = (holds: boolean, control: Control) => ({ held: holds ? [control] : [], axis: 0n })
    switch (extractor.kind) {
      case 'threshold': {
        const press = BigInt(extractor.press)
        const release = BigInt(extractor.release)
        if (press >= release) {
          if (value >= press) return held(true, extractor.control)
          const letGo = value < release || (value === release && press > release)
          return held(letGo ? false : before, extractor.control)
        }
        if (value <= press) return held(true, extractor.control)
        return held(value >= release ? false : before, extractor.control)
      }
      case 'array': {
        const places = Array.from({ length: extractor.count }, (_, n) => bit + n * bits)
        return held(
          places.some((place) => naiveValue(data, place, bits, signed) === BigInt(extractor.value)),
          extractor.control,
        )
      }
      case 'hat': {
        const [first, step] = [BigInt(extractor.first), BigInt(extractor.step)]
        // Each position by its own values.
        const all = extractor.positions === 4 ? CLOCKWISE.filter((_, k) => k % 2 === 0) : CLOCKWISE
        const words = all.find((_, k) => {
          const least = first + BigInt(k) * step
          return value >= least && value < least + step
        })
        if (words === undefined) return { held: [], axis: 0n }
        return {
          held: words
            .split(' ')
            .map((word) => `${extractor.cross}-${word as 'up' | 'down' | 'left' | 'right'}` as const),
          axis: 0n,
        }
      }
      case 'axis':
        return {
          held: [],
          axis: naiveAxis(value, BigInt(extractor.low), BigInt(extractor.centre), BigInt(extractor.high)),
        }
    }
  }
}
