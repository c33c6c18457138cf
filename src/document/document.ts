import * as v from 'valibot'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { eitherWords, rowWords } from '../words/lists.ts'
import { subjectWords } from '../words/sentence-texts.ts'
import { foundTexts, t, wantedTexts } from './document-texts.ts'

/**
 * What every file of ours has in common: JSON in UTF-8, an object with `format` and `version`, and a path by which
 * files of older versions become present ones.
 */

/** Where a document is wrong, and how. `place` is a JSON path (`chart.cycles[2].low.1`), a line, a byte, or empty. */
export interface DocumentError {
  readonly place: string
  readonly message: string
}

/** What a migration throws where it can say what is wrong with a document, and where. */
export class DocumentRefusal extends Error {
  constructor(readonly error: DocumentError) {
    super(error.message)
  }
}

/** Lifts a document from one version to the next; gets and gives plain JSON. */
export type Migration = (document: Record<string, unknown>) => Record<string, unknown>

export interface DocumentKind<S extends v.GenericSchema> {
  /** The word in `format`. */
  readonly format: string
  /** What the user calls it, for sentences: "profile". */
  readonly noun: () => string
  readonly version: number
  /** `migrations[k]` lifts version `k` to `k + 1`. */
  readonly migrations: Readonly<Record<number, Migration>>
  /** Largest file that is looked at, in bytes. */
  readonly maxBytes: number
  readonly schema: S
}

/** The message with its place in front, where there is one. */
export const documentSentence = (error: DocumentError): string => subjectWords([error.place], error.message)

export const refuse = (
  place: string,
  message: string,
): { readonly ok: false; readonly error: DocumentError } => err({ place, message })

/** Reads a document from JSON that is already parsed. Never throws. */
export function readJson<S extends v.GenericSchema>(
  kind: DocumentKind<S>,
  json: unknown,
): Result<v.InferOutput<S>, DocumentError> {
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    return refuse('', t.notObject({ noun: kind.noun(), found: foundWords(json) }))
  }
  let document = json as Record<string, unknown>
  if (document['format'] !== kind.format) {
    const told = { noun: kind.noun(), format: JSON.stringify(kind.format) }
    const format = document['format']
    return refuse(
      'format',
      format === undefined ? t.noFormat(told) : t.otherFormat({ ...told, found: foundWords(format) }),
    )
  }
  const version = document['version']
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return refuse('version', t.expected({ wanted: wantedTexts.wholeFrom1, found: foundWords(version) }))
  }
  if (version > kind.version) {
    return refuse('version', t.newer({ noun: kind.noun(), version: String(version), known: kind.version }))
  }
  for (let from = version; from < kind.version; from++) {
    const lift = kind.migrations[from]
    if (lift === undefined) return refuse('version', t.tooOld({ version: from }))
    try {
      document = { ...lift(document), version: from + 1 }
    } catch (thrown) {
      if (thrown instanceof DocumentRefusal) return err(thrown.error)
      return refuse('', t.notValid({ noun: kind.noun(), version: from }))
    }
  }
  const parsed = v.safeParse(kind.schema, document, { abortEarly: true })
  if (!parsed.success) {
    const issue = tellingIssue(parsed.issues[0])
    return refuse(placeOf(issue), messageOf(issue))
  }
  const list = listForObject(document, parsed.output, '')
  return list === null
    ? ok(parsed.output)
    : refuse(list, t.expected({ wanted: wantedTexts.object, found: foundTexts.list }))
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

/** A short name for a wrong value, so that a sentence can quote it. */
export function foundWords(value: unknown): string {
  if (value === undefined) return foundTexts.nothing
  if (value === null) return 'null'
  if (Array.isArray(value)) return foundTexts.list
  if (typeof value === 'object') return foundTexts.object
  return typeof value === 'string' ? JSON.stringify(shortened(value)) : String(value)
}

const SHOWN = 36

/** At most so much of somebody's text as a sentence can carry. */
function shortened(text: string): string {
  const characters = [...text]
  return characters.length > SHOWN ? `${characters.slice(0, SHOWN - 1).join('')}…` : text
}

/** Of a choice between shapes, what is wrong in the one that was meant: the others lack the key that tells them. */
function tellingIssue(issue: v.BaseIssue<unknown>): v.BaseIssue<unknown> {
  if (issue.type !== 'union') return issue
  const telling = issue.issues?.find(({ input }) => input !== undefined && input !== issue.input)
  if (telling === undefined) return issue
  const inner = tellingIssue(telling)
  const path = [...(issue.path ?? []), ...(inner.path ?? [])] as unknown as typeof inner.path
  return { ...inner, ...(path && { path }) }
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
      if (issue.expected === 'never') return t.unknownKey
      if (issue.input === undefined) return t.missing
      return t.expected({ wanted: wantedWords(issue.expected), found: foundWords(issue.input) })
    default:
      return issue.message
  }
}

/** What the schema wanted, in words. */
function wantedWords(expected: string | null): string {
  if (expected === null) return wantedTexts.other
  const names = expected.replace(/^\((.*)\)$/, '$1').split(' | ')
  const [only] = names
  if (only === 'Object') return wantedTexts.object
  if (only === 'Array') return wantedTexts.list
  if (only === 'string') return wantedTexts.text
  if (only === 'number' || only === 'boolean') return wantedTexts[only]
  if (names.length <= 2) return eitherWords(names)
  return names.length <= 14
    ? wantedTexts.oneOf({ names: rowWords(names) })
    : wantedTexts.known({ some: rowWords(names.slice(0, 6)) })
}
