import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { DocumentError } from '../../document/document.ts'
import { t as documentTexts } from '../../document/document-texts.ts'
import { fileTexts } from './descriptor-texts.ts'
import { MOST_DESCRIPTOR_BYTES } from './parse.ts'

/** Largest file that is looked at: every byte as `0xNN, ` with a comment behind it. */
export const DESCRIPTOR_FILE_BYTES = 2 ** 20

/**
 * The bytes of a report descriptor from a file or a clipboard: as they are, or as text in hexadecimal (`05 01`, `0501`, `0x05, 0x01`,
 * `\x05\x01`, the initialiser of a C array) with comments of C, C++ or Python.
 */
export function readDescriptorFile(file: Uint8Array): Result<Uint8Array, DocumentError> {
  if (file.length > DESCRIPTOR_FILE_BYTES) {
    return err({
      place: '',
      message: fileTexts.fileTooLong({ n: file.length, most: MOST_DESCRIPTOR_BYTES }),
    })
  }
  if (file.length === 0) return err({ place: '', message: documentTexts.empty })
  const bytes = isText(file) ? readHex(decode(file)) : ok(file.slice())
  if (bytes.ok && bytes.value.length > MOST_DESCRIPTOR_BYTES) {
    return err({
      place: '',
      message: fileTexts.tooLong({ n: bytes.value.length, most: MOST_DESCRIPTOR_BYTES }),
    })
  }
  const other = bytes.ok ? otherDescriptor(bytes.value) : null
  return other === null ? bytes : err({ place: '', message: fileTexts.other({ kind: other }) })
}

/** The other descriptors that are read from a device: USB 2.0 tables 9-8 and 9-10 (an interface follows, table 9-12, or an association of several, from memory), HID 1.11 section 6.2.1. */
function otherDescriptor(bytes: Uint8Array): 'device' | 'configuration' | 'hid' | null {
  const starts = (at: number, ...values: readonly number[]) =>
    values.every((byte, k) => bytes[at + k] === byte)
  if (bytes.length === 18 && starts(0, 18, 1)) return 'device'
  if (starts(0, 9, 2) && (starts(9, 9, 4) || starts(9, 8, 11))) return 'configuration'
  if (bytes.length === 9 && starts(0, 9, 0x21)) return 'hid'
  return null
}

const isUtf16 = ([a, b]: Uint8Array): boolean => (a === 0xff && b === 0xfe) || (a === 0xfe && b === 0xff)

/** A descriptor always holds control characters (05 sets a usage page); a text holds only those that part lines and words. */
const isText = (file: Uint8Array): boolean =>
  isUtf16(file) || file.every((byte) => (byte >= 32 && byte !== 127) || (byte >= 9 && byte <= 13))

const decode = (file: Uint8Array): string =>
  new TextDecoder(isUtf16(file) ? (file[0] === 0xff ? 'utf-16le' : 'utf-16be') : 'utf-8').decode(file)

const COMMENTS = /\/\*[\s\S]*?(?:\*\/|$)|\/\/[^\n]*|#[^\n]*/g
const blank = (text: string): string => text.replace(/[^\n]/g, ' ')

/** What may part two bytes; a quote or a bracket may stand anywhere. */
const BETWEEN = /[\s,;:"'(){}[\]]+/y
const BYTE = /(?:0[xX]|\\[xX])([\da-fA-F]{1,2})(?![\da-fA-F])/y
const PLAIN = /(?:[\da-fA-F]{2})+(?![\da-zA-Z_])|[\da-fA-F](?![\da-zA-Z_])/y

function readHex(text: string): Result<Uint8Array, DocumentError> {
  const [from, to] = inBraces(text.replace(COMMENTS, blank))
  const code = text.replace(COMMENTS, blank).slice(0, to)
  const bytes: number[] = []
  for (let at = from; at < code.length;) {
    const run = (pattern: RegExp): RegExpExecArray | null => {
      pattern.lastIndex = at
      return pattern.exec(code)
    }
    const between = run(BETWEEN)
    if (between !== null) {
      at += between[0].length
      continue
    }
    const byte = run(BYTE) ?? run(PLAIN)
    if (byte === null) return err({ place: placeOf(code, at), message: complaint(code, at) })
    at += byte[0].length
    const digits = byte[1] ?? byte[0]
    for (let k = 0; k < digits.length; k += 2) bytes.push(parseInt(digits.slice(k, k + 2), 16))
  }
  if (bytes.length === 0) return err({ place: '', message: fileTexts.noByte })
  return ok(Uint8Array.from(bytes))
}

/** Where the bytes stand: between the first braces or square brackets that hold something, else everywhere. */
function inBraces(code: string): readonly [number, number] {
  const match = /\{([^{}]+)\}?/d.exec(code) ?? /\[\s*((?:0[xX]|["'])[^[\]]*)\]?/d.exec(code)
  return match?.indices?.[1] ?? [0, code.length]
}

function placeOf(code: string, at: number): string {
  const lines = code.slice(0, at).split('\n')
  return documentTexts.atLineAndColumn({ line: lines.length, column: (lines.at(-1) ?? '').length + 1 })
}

function complaint(code: string, at: number): string {
  const word = [...(/^[^\s,;]+/.exec(code.slice(at, at + 200))?.[0] ?? '')].slice(0, 24).join('')
  if (/^[\da-fA-F]+$/.test(word)) return fileTexts.oddDigits({ word })
  if (/^(?:0x|\\x)[\da-f]{3,}/i.test(word)) return fileTexts.manyBytes({ word })
  return fileTexts.noHex({ word })
}
