import * as v from 'valibot'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { jsonFault } from './json-fault.ts'
import { eitherWords } from '../words/lists.ts'

/**
 * What every file of ours has in common: JSON in UTF-8, an object with `format` and `version`, and a path by which
 * files of older versions become present ones.
 */

/** Where a document is wrong, and how. `place` is a JSON path (`chart.cycles[2].low.1`), a line, a byte, or empty. */
export interface DocumentError {
  readonly place: string
  readonly message: string
}

/** Lifts a document from one version to the next; gets and gives plain JSON. */
export type Migration = (document: Record<string, unknown>) => Record<string, unknown>

export interface DocumentKind<S extends v.GenericSchema> {
  /** The word in `format`. */
  readonly format: string
  /** What the user calls it, for sentences: "profile". */
  readonly noun: string
  readonly version: number
  /** `migrations[k]` lifts version `k` to `k + 1`. */
  readonly migrations: Readonly<Record<number, Migration>>
  /** Largest file that is looked at, in bytes. */
  readonly maxBytes: number
  readonly schema: S
}

/** The message with its place in front, where there is one. */
export const documentSentence = (error: DocumentError): string =>
  error.place === '' ? error.message : `${error.place}: ${error.message}`

const refuse = (place: string, message: string): { readonly ok: false; readonly error: DocumentError } =>
  err({ place, message })

/** Reads a document from the bytes of a file. Never throws. */
export function readDocument<S extends v.GenericSchema>(
  kind: DocumentKind<S>,
  bytes: Uint8Array,
): Result<v.InferOutput<S>, DocumentError> {
  if (bytes.length > kind.maxBytes) {
    return refuse('', `the file has ${bytes.length} bytes; a ${kind.noun} has ${kind.maxBytes} at most`)
  }
  const text = decodeUtf8(bytes)
  if (!text.ok) return text
  const json = parseJson(text.value)
  return json.ok ? readJson(kind, json.value) : json
}

/** Reads a document from JSON that is already parsed. Never throws. */
export function readJson<S extends v.GenericSchema>(
  kind: DocumentKind<S>,
  json: unknown,
): Result<v.InferOutput<S>, DocumentError> {
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    return refuse('', `a ${kind.noun} is a JSON object; ${thisIs(json)}`)
  }
  let document = json as Record<string, unknown>
  if (document['format'] !== kind.format) {
    return refuse('format', `a ${kind.noun} says "${kind.format}" here; ${thisIs(document['format'])}`)
  }
  const version = document['version']
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return refuse('version', `a whole number from 1 on is needed; ${thisIs(version)}`)
  }
  if (version > kind.version) {
    return refuse(
      'version',
      `this ${kind.noun} was written by a newer Ninepin (version ${version}); this one reads up to version ${kind.version}`,
    )
  }
  for (let from = version; from < kind.version; from++) {
    const lift = kind.migrations[from]
    if (lift === undefined) return refuse('version', `version ${from} can no longer be read`)
    try {
      document = { ...lift(document), version: from + 1 }
    } catch {
      return refuse(
        '',
        `this is no sound ${kind.noun} of version ${from}, so it cannot be brought up to date`,
      )
    }
  }
  const parsed = v.safeParse(kind.schema, document, { abortEarly: true })
  if (!parsed.success) {
    const issue = parsed.issues[0]
    return refuse(placeOf(issue), messageOf(issue))
  }
  const list = listForObject(document, parsed.output, '')
  return list === null ? ok(parsed.output) : refuse(list, 'an object is needed; this is a list')
}

/** The place where a list passed for an object: to the parser an empty list is an object all of whose keys are left out. */
function listForObject(given: unknown, parsed: unknown, place: string): string | null {
  if (typeof parsed !== 'object' || parsed === null) return null
  if (Array.isArray(given) && !Array.isArray(parsed)) return place
  for (const [key, value] of Object.entries(parsed)) {
    const step = Array.isArray(parsed) ? `${place}[${key}]` : place === '' ? key : `${place}.${key}`
    const found = listForObject((given as Record<string, unknown>)[key], value, step)
    if (found !== null) return found
  }
  return null
}

function decodeUtf8(bytes: Uint8Array): Result<string, DocumentError> {
  try {
    return ok(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch {
    return refuse(`byte ${firstBadByte(bytes)}`, 'the file is not UTF-8 text')
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
  if (text.trim() === '') return refuse('', 'the file is empty')
  const fault = jsonFault(text)
  if (fault === null) return ok(JSON.parse(text))
  const before = text.slice(0, fault.offset).split('\n')
  const line = `line ${before.length}`
  if (fault.cut) return refuse(line, 'the file is cut off: the JSON does not end')
  const column = (before[before.length - 1] ?? '').length + 1
  return refuse(`${line}, column ${column}`, `this is not JSON: ${fault.wanted} is needed here`)
}

const thisIs = (value: unknown): string =>
  value === undefined ? 'this is missing' : `this is ${nameOf(value)}`

/** A short name for a wrong value, so that a sentence can quote it. */
function nameOf(value: unknown): string {
  if (value === null) return 'null'
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'object') return 'an object'
  return typeof value === 'string' ? JSON.stringify(shortened(value)) : String(value)
}

const SHOWN = 36

/** At most so much of somebody's text as a sentence can carry. */
function shortened(text: string): string {
  const characters = [...text]
  return characters.length > SHOWN ? `${characters.slice(0, SHOWN - 1).join('')}…` : text
}

function placeOf(issue: v.BaseIssue<unknown>): string {
  let place = ''
  for (const step of issue.path ?? []) {
    // Pins are numbers but keys of an object: `low.1`, not `low[1]`.
    if (step.type === 'array') place += `[${String(step.key)}]`
    else place += `${place === '' ? '' : '.'}${keyOf(String(step.key))}`
  }
  return place
}

/** A key as a JSON path shows it: in quotes where it is no plain word. */
const keyOf = (key: string): string => (/^[\w-]{1,40}$/.test(key) ? key : JSON.stringify(shortened(key)))

function messageOf(issue: v.BaseIssue<unknown>): string {
  switch (issue.type) {
    case 'strict_object':
    case 'picklist':
    case 'literal':
    case 'variant':
    case 'string':
    case 'number':
    case 'boolean':
    case 'array':
      if (issue.expected === 'never') return 'this key does not belong here'
      if (issue.input === undefined) return 'this is missing'
      return `${sayExpected(issue.expected)} is needed; ${thisIs(issue.input)}`
    default:
      return issue.message
  }
}

/** What the schema wanted, in words. */
function sayExpected(expected: string | null): string {
  const names = (expected ?? 'something else').replace(/^\((.*)\)$/, '$1').split(' | ')
  const [only] = names
  if (only === 'Object') return 'an object'
  if (only === 'Array') return 'a list'
  if (only === 'string') return 'a text'
  if (only === 'number' || only === 'boolean') return only === 'number' ? 'a number' : 'true or false'
  if (names.length <= 2) return eitherWords(names)
  return names.length <= 14
    ? `one of ${names.join(', ')}`
    : `a known name (${names.slice(0, 6).join(', ')}, …)`
}
