import type { Complaint, VcdChange, VcdValue } from './capture.ts'
import { MAX_VCD_CHANGES } from './capture.ts'
import type { CodeKey } from './code.ts'
import { codeKey } from './code.ts'
import type { Header } from './header.ts'
import { isDump } from './header.ts'
import { isEnd, quote, quoteBytes, textOf } from './text.ts'
import type { Ticks } from './timescale.ts'
import { parseTicks, ticksToNs } from './timescale.ts'

const byteOf = (character: string): number => character.charCodeAt(0)

const HASH = byteOf('#')
const DOLLAR = byteOf('$')

/** The four levels in either case, by byte. */
const LEVELS: readonly (VcdValue | undefined)[] = byByte({ 0: '0', 1: '1', x: 'x', X: 'x', z: 'z', Z: 'z' })

/** Values that a blank parts from their identifier code, by first byte. Strings are a common extension. */
const APART = byByte({ b: 'vector', B: 'vector', r: 'real', R: 'real', s: 'string', S: 'string' } as const)

/** Sections of the header. */
const DECLARATIONS = new Set(['$timescale', '$scope', '$upscope', '$var', '$enddefinitions'])

/** A value whose identifier code is the next word. */
interface Apart {
  readonly kind: 'vector' | 'real' | 'string'
  /** What it makes of a one-bit wire; nothing where it does not fit. */
  readonly level: VcdValue | undefined
}

/** Vectors that leave a one-bit wire a level; made once, as there may be millions. */
const FITTING: Readonly<Record<VcdValue, Apart>> = {
  0: { kind: 'vector', level: '0' },
  1: { kind: 'vector', level: '1' },
  x: { kind: 'vector', level: 'x' },
  z: { kind: 'vector', level: 'z' },
}
const TOO_WIDE: Apart = { kind: 'vector', level: undefined }
const REAL: Apart = { kind: 'real', level: undefined }
const STRING: Apart = { kind: 'string', level: undefined }

/** Reads what follows the header: stamps, value changes and the sections about them. */
export class ChangeReader {
  readonly #header: Header
  readonly #wire: CodeKey
  readonly #changes: VcdChange[] = []
  #level: VcdValue | undefined
  #ticks: Ticks = 0
  #nowNs = 0
  #firstNs: number | undefined
  #apart: Apart | undefined
  /** The section that is passed over. */
  #passing: string | undefined
  #dumping = false

  /** @param wire code of the one wire whose changes are kept */
  constructor(header: Header, wire: CodeKey) {
    this.#header = header
    this.#wire = wire
  }

  word(bytes: Uint8Array, from: number, to: number): Complaint {
    const apart = this.#apart
    if (apart !== undefined) {
      this.#apart = undefined
      return this.#finishApart(apart, bytes, from, to)
    }
    const first = bytes[from] as number
    if (this.#passing !== undefined) {
      if (isEnd(bytes, from, to)) this.#passing = undefined
      return undefined
    }
    const level = LEVELS[first]
    if (level !== undefined) return this.#scalar(level, bytes, from, to)
    if (first === HASH) return this.#stamp(bytes, from, to)
    if (first === DOLLAR) return this.#section(textOf(bytes, from, to))
    return this.#startApart(bytes, from, to)
  }

  /** What the end of the file leaves half said. An open `$dumpvars` is no loss: all its values have come. */
  finish(): Complaint {
    if (this.#passing !== undefined) return `The file is cut off inside ${quote(this.#passing)}.`
    if (this.#apart !== undefined) return 'The file is cut off between a value and its identifier code.'
    return undefined
  }

  /** Changes and span so far. */
  get taken(): { changes: readonly VcdChange[]; startNs: number; endNs: number } {
    const endNs = this.#nowNs
    const startNs = Math.min(this.#firstNs ?? 0, this.#changes[0]?.atNs ?? endNs)
    return { changes: this.#changes, startNs, endNs }
  }

  #stamp(bytes: Uint8Array, from: number, to: number): Complaint {
    const ticks = parseTicks(bytes, from + 1, to)
    if (ticks === undefined) return `A time is a # and a whole number, not ${quoteBytes(bytes, from, to)}.`
    const ns = ticksToNs(this.#header.timescale, ticks)
    if (ns === undefined) return `The time ${quoteBytes(bytes, from, to)} is past 2^53 ns, about 104 days.`
    if (ticks < this.#ticks) return `The time goes back from #${this.#ticks} to #${ticks}.`
    this.#ticks = ticks
    this.#nowNs = ns
    this.#firstNs ??= ns
    return undefined
  }

  #section(keyword: string): Complaint {
    if (keyword.startsWith('$dumpports')) {
      return 'The file is an extended VCD, with strengths of ports; only the four-state format is read.'
    }
    if (isDump(keyword)) {
      this.#dumping = true
    } else if (keyword === '$end') {
      if (!this.#dumping) return 'This $end closes nothing.'
      this.#dumping = false
    } else if (DECLARATIONS.has(keyword)) {
      return `${quote(keyword)} comes after the header has ended.`
    } else {
      this.#passing = keyword
    }
    return undefined
  }

  #scalar(level: VcdValue, bytes: Uint8Array, from: number, to: number): Complaint {
    if (to - from === 1)
      return `The value ${quoteBytes(bytes, from, to)} has no identifier code right after it.`
    const key = codeKey(bytes, from + 1, to)
    if (key === this.#wire) return this.#set(level)
    return this.#header.codes.has(key) ? undefined : undeclared(bytes, from + 1, to)
  }

  #startApart(bytes: Uint8Array, from: number, to: number): Complaint {
    const kind = APART[bytes[from] as number]
    if (kind === undefined) return `${quoteBytes(bytes, from, to)} is neither a time nor a value change.`
    if (kind !== 'string' && to - from === 1)
      return `The ${kind} ${quoteBytes(bytes, from, to)} has no value.`
    if (kind === 'vector') {
      const level = lowestBit(bytes, from + 1, to)
      this.#apart = level === undefined ? TOO_WIDE : FITTING[level]
    } else {
      this.#apart = kind === 'real' ? REAL : STRING
    }
    return undefined
  }

  #finishApart({ kind, level }: Apart, bytes: Uint8Array, from: number, to: number): Complaint {
    const key = codeKey(bytes, from, to)
    if (key !== this.#wire) return this.#header.codes.has(key) ? undefined : undeclared(bytes, from, to)
    if (level !== undefined) return this.#set(level)
    return `The ${kind} given to ${quoteBytes(bytes, from, to)} does not fit a wire of one bit.`
  }

  #set(level: VcdValue): Complaint {
    if (level === this.#level) return undefined
    if (this.#changes.length === MAX_VCD_CHANGES)
      return `The wire changes more than ${MAX_VCD_CHANGES} times.`
    this.#level = level
    this.#changes.push({ atNs: this.#nowNs, value: level })
    return undefined
  }
}

const undeclared = (bytes: Uint8Array, from: number, to: number): string =>
  `The header declares no wire with the identifier code ${quoteBytes(bytes, from, to)}.`

/**
 * The level that the bits in `bytes[from..to)` give a one-bit wire: their last, if the others are only its left
 * extension (0 before 0 and 1, else the same again [IEEE 1364]); nothing where more than one bit is meant.
 */
function lowestBit(bytes: Uint8Array, from: number, to: number): VcdValue | undefined {
  const level = LEVELS[bytes[to - 1] as number]
  const extension = level === '1' ? '0' : level
  for (let at = from; at < to - 1; at++) {
    if (LEVELS[bytes[at] as number] !== extension) return undefined
  }
  return level
}

function byByte<T>(byCharacter: Readonly<Record<string, T>>): readonly (T | undefined)[] {
  const table = new Array<T | undefined>(256).fill(undefined)
  for (const [character, value] of Object.entries(byCharacter)) table[byteOf(character)] = value
  return table
}
