import type * as v from 'valibot'
import { ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { readJson, refuse } from './document.ts'
import type { DocumentError, DocumentKind } from './document.ts'
import { t } from './document-texts.ts'
import { jsonFault } from './json-fault.ts'

/** Reads a document from the bytes of a file. Never throws. */
export function readDocument<S extends v.GenericSchema>(
  kind: DocumentKind<S>,
  bytes: Uint8Array,
): Result<v.InferOutput<S>, DocumentError> {
  if (bytes.length > kind.maxBytes) {
    return refuse('', t.tooLong({ bytes: bytes.length, noun: kind.noun(), most: kind.maxBytes }))
  }
  const text = decodeUtf8(bytes)
  if (!text.ok) return text
  const json = parseJson(text.value)
  return json.ok ? readJson(kind, json.value) : json
}

function decodeUtf8(bytes: Uint8Array): Result<string, DocumentError> {
  try {
    return ok(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch {
    return refuse(t.atByte({ byte: firstBadByte(bytes) }), t.notUtf8)
  }
}

/** The offset of the first sequence that is not UTF-8 or does not end, found by halving. */
function firstBadByte(bytes: Uint8Array): number {
  const decode = (end: number): string =>
    new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes.subarray(0, end), {
      stream: true,
    })
  const decodes = (end: number): boolean => {
    try {
      decode(end)
      return true
    } catch {
      return false
    }
  }
  let good = 0
  let bad = bytes.length + 1
  while (bad - good > 1) {
    const middle = (good + bad) >> 1
    if (decodes(middle)) good = middle
    else bad = middle
  }
  // The good prefix may end within a sequence, which the decoder holds back: what it gave are whole characters.
  return new TextEncoder().encode(decode(good)).length
}

function parseJson(text: string): Result<unknown, DocumentError> {
  if (text.trim() === '') return refuse('', t.empty)
  const fault = jsonFault(text)
  if (fault === null) return ok(JSON.parse(text))
  const before = text.slice(0, fault.offset).split('\n')
  const line = before.length
  if (fault.cut) return refuse(t.atLine({ line }), t.cutOff)
  const column = (before[before.length - 1] ?? '').length + 1
  return refuse(t.atLineAndColumn({ line, column }), t.notJson({ wanted: fault.wanted }))
}
