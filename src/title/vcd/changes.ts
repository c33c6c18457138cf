import type { ChangeBlock } from './block.ts'
import type { CaptureSpan, Complaint } from './capture.ts'
import { VCD_VALUES } from './capture.ts'
import type { CodeKey } from './code.ts'
import { codeKey } from './code.ts'
import type { Header } from './header.ts'
import { isDump } from './header.ts'
import { isEnd, quote, quoteBytes, textOf } from './text.ts'
import type { Ticks } from './timescale.ts'
import { latestTicks, parseTicks, ticksToNs } from './timescale.ts'
import { GOES_ON, IS_WIRE, usualCodes } from './usual.ts'
import { t } from './vcd-texts.ts'

const byteOf = (character: string): number => character.charCodeAt(0)

const LINE_FEED = 0x0a
const CARRIAGE_RETURN = 0x0d
const HASH = 0x23
const DOLLAR = 0x24
const ZERO = 0x30

/** The four levels in either case, by byte: an index into {@link VCD_VALUES}, or this. */
const NO_LEVEL = 255
const LEVELS = new Uint8Array(256).fill(NO_LEVEL)
VCD_VALUES.forEach((value, level) => {
  LEVELS[byteOf(value)] = level
  LEVELS[byteOf(value.toUpperCase())] = level
})
const LOW = VCD_VALUES.indexOf('0')
const HIGH = VCD_VALUES.indexOf('1')

/**
 * About how far one call of {@link ChangeReader.lines} goes. In longer calls V8 may compile the loop from its midst and keep to that
 * code, which is a third slower (measured with Node 20).
 */
const SPAN_BYTES = 512

/** Digits that surely fit a signed integer of 32 bits. */
const INTEGER_DIGITS = 9

/** Values that a blank parts from their identifier code, by first byte. Strings are a common extension. */
const APART = byByte({ b: 'vector', B: 'vector', r: 'real', R: 'real', s: 'string', S: 'string' } as const)

/** Sections of the header. */
const DECLARATIONS = new Set(['$timescale', '$scope', '$upscope', '$var', '$enddefinitions'])

/** A value whose identifier code is the next word. */
interface Apart {
  readonly kind: 'vector' | 'real' | 'string'
  /** What it makes of a one-bit wire. */
  readonly level: number
}

/** Vectors that leave a one-bit wire a level, by level; made once, as there may be millions. */
const FITTING: readonly Apart[] = VCD_VALUES.map((_, level) => ({ kind: 'vector', level }))
const TOO_WIDE: Apart = { kind: 'vector', level: NO_LEVEL }
const REAL: Apart = { kind: 'real', level: NO_LEVEL }
const STRING: Apart = { kind: 'string', level: NO_LEVEL }

/** Reads what follows the header: stamps, value changes and the sections about them. */
export class ChangeReader {
  /** How many lines the last call of {@link lines} took. */
  linesTaken = 0
  readonly #header: Header
  readonly #wire: CodeKey
  readonly #block: ChangeBlock
  readonly #usual: Uint8Array
  readonly #latestTicks: number
  #level = NO_LEVEL
  #ticks: Ticks = 0
  #nowNs = 0
  #firstNs: number | undefined
  #firstChangeNs: number | undefined
  #apart: Apart | undefined
  /** The section that is passed over. */
  #passing: string | undefined
  #dumping = false

  /**
   * @param wire code of the one wire whose changes are kept
   * @param block where they are kept
   */
  constructor(header: Header, wire: CodeKey, block: ChangeBlock) {
    this.#header = header
    this.#wire = wire
    this.#block = block
    this.#usual = usualCodes(header.codes, wire)
    this.#latestTicks = latestTicks(header.timescale)
  }

  /**
   * Takes some whole lines from `bytes[from..to)` as long as each is one that nearly all lines of nearly all dumps are: a stamp, or a
   * level and a code of one or two bytes. Whatever is not beyond doubt stays for {@link word}, which would have made the same of these.
   *
   * @param from where a word may begin
   * @param to just past a line feed
   * @returns where the first line begins that was not taken
   */
  lines(bytes: Uint8Array, from: number, to: number): number {
    this.linesTaken = 0
    const within = this.#apart !== undefined || this.#passing !== undefined
    if (within || this.#firstNs === undefined || typeof this.#ticks === 'bigint') return from
    const { timesNs, values, room } = this.#block
    const { nsPerTick, ticksPerNs } = this.#header.timescale
    const usual = this.#usual
    const latest = this.#latestTicks
    // The shortest of these lines has three bytes, and the line feed before `to` ends every loop over digits.
    const last = Math.min(to - 3, from + SPAN_BYTES)
    let count = this.#block.count
    let level = this.#level
    let ticks = this.#ticks
    let lines = 0
    let at = from
    while (at <= last) {
      const first = bytes[at] as number
      if (first === HASH) {
        let next = at + 1
        let digit = (bytes[next] as number) - ZERO
        let integer = 0
        while (digit >>> 0 < 10 && next <= at + INTEGER_DIGITS) {
          integer = (Math.imul(integer, 10) + digit) | 0
          digit = (bytes[++next] as number) - ZERO
        }
        // No longer exact past 2^53, but then past the latest time as well.
        let now = integer
        while (digit >>> 0 < 10) {
          now = now * 10 + digit
          digit = (bytes[++next] as number) - ZERO
        }
        const end = bytes[next] === CARRIAGE_RETURN ? next + 1 : next
        if (bytes[end] !== LINE_FEED || next === at + 1 || now < ticks || now > latest) break
        ticks = now
        at = end + 1
      } else {
        const value = LEVELS[first] as number
        const code = usual[((bytes[at + 1] as number) << 8) | (bytes[at + 2] as number)] as number
        if (value === NO_LEVEL || code === 0) break
        let end = at + 2
        // Constants, as an end that is worked out from the code would hold up the next line.
        if ((code & GOES_ON) !== 0) {
          end = bytes[at + 3] === CARRIAGE_RETURN ? at + 4 : at + 3
          if (bytes[end] !== LINE_FEED) break
        }
        if ((code & IS_WIRE) !== 0 && value !== level) {
          if (count === room) break
          // Exact: a quotient of whole numbers below 2^53 does not round up to the next one.
          timesNs[count] = Math.floor(ticks / ticksPerNs) * nsPerTick
          values[count] = value
          count++
          level = value
        }
        at = end + 1
      }
      lines++
    }
    this.#block.count = count
    this.#level = level
    this.#ticks = ticks
    this.#nowNs = Math.floor(ticks / ticksPerNs) * nsPerTick
    this.linesTaken = lines
    return at
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
    const level = LEVELS[first] as number
    if (level !== NO_LEVEL) return this.#scalar(level, bytes, from, to)
    if (first === HASH) return this.#stamp(bytes, from, to)
    if (first === DOLLAR) return this.#section(textOf(bytes, from, to))
    return this.#startApart(bytes, from, to)
  }

  /** What the end of the file leaves half said. An open `$dumpvars` is no loss: all its values have come. */
  finish(): Complaint {
    if (this.#passing !== undefined) return t.cutOffInside({ section: quote(this.#passing) })
    if (this.#apart !== undefined) return t.cutOffInValue
    return undefined
  }

  /** First and last stamp so far, as {@link CaptureSpan} has them. */
  get span(): Pick<CaptureSpan, 'startNs' | 'endNs'> {
    const endNs = this.#nowNs
    return { startNs: Math.min(this.#firstNs ?? 0, this.#firstChangeNs ?? endNs), endNs }
  }

  #stamp(bytes: Uint8Array, from: number, to: number): Complaint {
    const ticks = parseTicks(bytes, from + 1, to)
    if (ticks === undefined) return t.time({ found: quoteBytes(bytes, from, to) })
    const ns = ticksToNs(this.#header.timescale, ticks)
    if (ns === undefined) return t.timeTooLate({ found: quoteBytes(bytes, from, to) })
    if (ticks < this.#ticks) return t.timeGoesBack({ from: String(this.#ticks), to: String(ticks) })
    this.#ticks = ticks
    this.#nowNs = ns
    this.#firstNs ??= ns
    return undefined
  }

  #section(keyword: string): Complaint {
    if (keyword.startsWith('$dumpports')) {
      return t.extended
    }
    if (isDump(keyword)) {
      this.#dumping = true
    } else if (keyword === '$end') {
      if (!this.#dumping) return t.endClosesNothing
      this.#dumping = false
    } else if (DECLARATIONS.has(keyword)) {
      return t.afterHeader({ section: quote(keyword) })
    } else {
      this.#passing = keyword
    }
    return undefined
  }

  #scalar(level: number, bytes: Uint8Array, from: number, to: number): Complaint {
    if (to - from === 1) return t.noCode({ found: quoteBytes(bytes, from, to) })
    const key = codeKey(bytes, from + 1, to)
    if (key === this.#wire) return this.#set(level)
    return this.#header.codes.has(key) ? undefined : undeclared(bytes, from + 1, to)
  }

  #startApart(bytes: Uint8Array, from: number, to: number): Complaint {
    const kind = APART[bytes[from] as number]
    if (kind === undefined) return t.neither({ found: quoteBytes(bytes, from, to) })
    if (kind !== 'string' && to - from === 1) return t.noValue({ kind, found: quoteBytes(bytes, from, to) })
    if (kind === 'vector') {
      const level = lowestBit(bytes, from + 1, to)
      this.#apart = FITTING[level] ?? TOO_WIDE
    } else {
      this.#apart = kind === 'real' ? REAL : STRING
    }
    return undefined
  }

  #finishApart({ kind, level }: Apart, bytes: Uint8Array, from: number, to: number): Complaint {
    const key = codeKey(bytes, from, to)
    if (key !== this.#wire) return this.#header.codes.has(key) ? undefined : undeclared(bytes, from, to)
    if (level !== NO_LEVEL) return this.#set(level)
    return t.doesNotFit({ kind, code: quoteBytes(bytes, from, to) })
  }

  #set(level: number): Complaint {
    if (level === this.#level) return undefined
    this.#level = level
    this.#firstChangeNs ??= this.#nowNs
    return this.#block.add(this.#nowNs, level)
  }
}

const undeclared = (bytes: Uint8Array, from: number, to: number): string =>
  t.undeclared({ code: quoteBytes(bytes, from, to) })

/**
 * The level that the bits in `bytes[from..to)` give a one-bit wire: their last, if the others are only its left
 * extension (0 before 0 and 1, else the same again [IEEE 1364]); no level where more than one bit is meant.
 */
function lowestBit(bytes: Uint8Array, from: number, to: number): number {
  const level = LEVELS[bytes[to - 1] as number] as number
  const extension = level === HIGH ? LOW : level
  for (let at = from; at < to - 1; at++) {
    if (LEVELS[bytes[at] as number] !== extension) return NO_LEVEL
  }
  return level
}

function byByte<T>(byCharacter: Readonly<Record<string, T>>): readonly (T | undefined)[] {
  const table = new Array<T | undefined>(256).fill(undefined)
  for (const [character, value] of Object.entries(byCharacter)) table[byteOf(character)] = value
  return table
}
