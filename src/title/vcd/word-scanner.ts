import type { Complaint } from './capture.ts'
import { isUtf8 } from './text.ts'
import { t } from './vcd-texts.ts'

const TAB = 0x09
const LINE_FEED = 0x0a
const CARRIAGE_RETURN = 0x0d
const SPACE = 0x20
const DELETE = 0x7f

/** Longest word that is held, 1 MiB: a bus of a million bits. */
const MAX_WORD_BYTES = 2 ** 20

/** What is done with a word; the bytes belong to the scanner and hold only during the call. */
export type OnWord = (bytes: Uint8Array, from: number, to: number) => Complaint

/**
 * A quicker way for what it is sure of: takes whole lines from `bytes[from..to)`, counts them in {@link WordScanner.line}, and returns
 * where it stopped. `from` is where a word may begin, `to` just past a line feed.
 */
export type OnLines = (bytes: Uint8Array, from: number, to: number) => number

/**
 * Splits bytes into words at blanks and counts lines, wherever the chunks happen to end. IEEE 1364 makes a dump out of
 * words that white space separates; line ends mean nothing more than a blank.
 */
export class WordScanner {
  /** Of the word last handed over, counted from 1. */
  line = 1
  readonly #onWord: OnWord
  readonly #onLines: OnLines
  /** The word that a chunk's end cut in two. */
  #carry = new Uint8Array(256)
  #carried = 0
  #beyondAscii = false
  #atStart = true

  constructor(onWord: OnWord, onLines: OnLines = (_, from) => from) {
    this.#onWord = onWord
    this.#onLines = onLines
  }

  /** Hands over each word that ends in the chunk; stops at the first complaint and returns it. */
  push(chunk: Uint8Array): Complaint {
    const linesEnd = chunk.lastIndexOf(LINE_FEED) + 1
    let from = this.#carried > 0 ? 0 : this.#onLines(chunk, 0, linesEnd)
    for (let at = from; at < chunk.length; at++) {
      const byte = chunk[at] as number
      if (byte > SPACE && byte < DELETE) continue
      if (byte > DELETE) {
        this.#beyondAscii = true
        continue
      }
      if (byte !== SPACE && (byte < TAB || byte > CARRIAGE_RETURN)) {
        return this.#tooLong(from, at) ?? t.notText({ byte })
      }
      if (at > from || this.#carried > 0) {
        const complaint = this.#end(chunk, from, at)
        if (complaint !== undefined) return complaint
      }
      from = at + 1
      if (byte !== LINE_FEED) continue
      this.line++
      from = this.#onLines(chunk, from, linesEnd)
      at = from - 1
    }
    return this.#tooLong(from, chunk.length) ?? this.#keep(chunk, from, chunk.length)
  }

  /** Hands over the word that only the end of the file ends. */
  finish(): Complaint {
    return this.#carried > 0 ? this.#end(this.#carry, 0, 0) : undefined
  }

  /** Told as soon as it is certain, so that no more of the word is kept. */
  #tooLong(from: number, to: number): Complaint {
    return this.#carried + to - from > MAX_WORD_BYTES ? t.wordTooLong({ most: MAX_WORD_BYTES }) : undefined
  }

  #end(chunk: Uint8Array, from: number, to: number): Complaint {
    const tooLong = this.#tooLong(from, to)
    if (tooLong !== undefined) return tooLong
    if (this.#carried === 0) return this.#hand(chunk, from, to)
    this.#keep(chunk, from, to)
    const length = this.#carried
    this.#carried = 0
    return this.#hand(this.#carry, 0, length)
  }

  #hand(bytes: Uint8Array, from: number, to: number): Complaint {
    let start = from
    if (this.#beyondAscii) {
      this.#beyondAscii = false
      if (!isUtf8(bytes, from, to)) return t.notUtf8
      if (this.#atStart && startsWithByteOrderMark(bytes, from, to)) start += 3
    }
    this.#atStart = false
    return start === to ? undefined : this.#onWord(bytes, start, to)
  }

  #keep(chunk: Uint8Array, from: number, to: number): undefined {
    const length = this.#carried + to - from
    if (length > this.#carry.length) {
      const larger = new Uint8Array(Math.max(length, 2 * this.#carry.length))
      larger.set(this.#carry.subarray(0, this.#carried))
      this.#carry = larger
    }
    this.#carry.set(chunk.subarray(from, to), this.#carried)
    this.#carried = length
  }
}

const startsWithByteOrderMark = (bytes: Uint8Array, from: number, to: number): boolean =>
  to - from >= 3 && bytes[from] === 0xef && bytes[from + 1] === 0xbb && bytes[from + 2] === 0xbf
