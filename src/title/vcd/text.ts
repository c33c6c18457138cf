import { foreign } from '../../words/foreign.ts'

/** A mark in front of the file is the scanner's to take off; anywhere else it is a character. */
const decoder = new TextDecoder('utf-8', { ignoreBOM: true })
const strictDecoder = new TextDecoder('utf-8', { fatal: true })

/** Longest piece of somebody's file that is repeated in a message, in characters. */
const MAX_QUOTED = 120

export const textOf = (bytes: Uint8Array, from: number, to: number): string =>
  decoder.decode(bytes.subarray(from, to))

export function isUtf8(bytes: Uint8Array, from: number, to: number): boolean {
  try {
    strictDecoder.decode(bytes.subarray(from, to))
    return true
  } catch {
    return false
  }
}

const END = new TextEncoder().encode('$end')

/** Whether the word is `$end`, which closes every section. */
export const isEnd = (bytes: Uint8Array, from: number, to: number): boolean =>
  to - from === END.length && END.every((byte, k) => byte === bytes[from + k])

/** A word or a path of the file, kept short enough for a sentence. */
export const clip = (text: string): string =>
  text.length > MAX_QUOTED ? `${text.slice(0, MAX_QUOTED)}…` : text

export const quote = (text: string): string => `"${foreign(clip(text))}"`

/** As {@link quote}, of a word that is still bytes. A character has at most four. */
export const quoteBytes = (bytes: Uint8Array, from: number, to: number): string =>
  quote(textOf(bytes, from, Math.min(to, from + 4 * (MAX_QUOTED + 1))))
