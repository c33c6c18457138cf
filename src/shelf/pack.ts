import * as v from 'valibot'
import { documentSentence } from '../document/document.ts'
import { subjectWords } from '../words/sentence-texts.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { AdapterNoteSchema } from './desk.ts'
import type { Desk } from './desk.ts'
import { keyOf, readEntry } from './entry.ts'
import type { Entry, EntryKey } from './entry.ts'
import { fileTexts as t } from './file-texts.ts'
import type { OutFile } from './out-file.ts'
import type { Unreadable } from './store.ts'

/** The word in `format` of a file that holds a whole shelf. */
export const SHELF_FORMAT = 'ninepin-shelf'
const SHELF_VERSION = 1

/** No shelf that is read is larger, in bytes. */
export const MAX_SHELF_BYTES = 64 * 1024 * 1024

/** Nothing of ours is nested deeper; what is, no browser stores, and it would keep all else from being stored. */
const MAX_NESTING = 200

/** No hand has edited anything so often; a larger number leaves no room for the next edits. */
const MAX_REVISION = 1e12

const ShelfFileSchema = v.object({
  format: v.literal(SHELF_FORMAT),
  version: v.literal(SHELF_VERSION),
  entries: v.array(v.unknown()),
  /** What could not be read when the file was written goes along as it was stored. */
  unreadable: v.array(v.object({ key: v.string(), record: v.unknown() })),
  /** What the user calls the adapters, and which pads go into their banks, by serial number. Files of the first days have none. */
  adapters: v.optional(v.fallback(v.record(v.string(), AdapterNoteSchema), {}), {}),
})

/** What a saved shelf holds. */
export interface SavedShelf {
  readonly entries: readonly Entry[]
  readonly unreadable: readonly Pick<Unreadable, 'key' | 'record'>[]
  readonly adapters: Desk['adapters']
  /** A sentence for each entry of the file that cannot be read. */
  readonly refused: readonly string[]
}

/** What is saved of a shelf. */
export interface WholeShelf {
  readonly entries: readonly Entry[]
  readonly unreadable: readonly Unreadable[]
  /** What is stored of entries that an older Ninepin wrote: it goes along in the older form. */
  readonly older: ReadonlyMap<EntryKey, unknown>
  readonly adapters: Desk['adapters']
}

/** Everything on the shelf as one file. */
export function shelfFile({ entries, unreadable, older, adapters }: WholeShelf, nowMs: number): OutFile {
  const file: v.InferInput<typeof ShelfFileSchema> = {
    format: SHELF_FORMAT,
    version: SHELF_VERSION,
    entries: entries.map((entry) => older.get(keyOf(entry)) ?? entry),
    unreadable: unreadable.map(({ key, record }) => ({ key, record })),
    adapters,
  }
  return {
    name: `ninepin-shelf-${new Date(nowMs).toISOString().slice(0, 10)}.json`,
    text: `${stored(file)}\n`,
  }
}

/** Whether what begins like this is a saved shelf: the format is the first thing that it says. */
export const isShelfFile = (head: Uint8Array): boolean =>
  new RegExp(`^\\s*\\{\\s*"format"\\s*:\\s*"${SHELF_FORMAT}"`).test(new TextDecoder().decode(head))

/** Reads a saved shelf. An entry that cannot be read keeps no other from being read. Never throws; the error is a sentence. */
export function readShelfFile(name: string, bytes: Uint8Array): Result<SavedShelf, string> {
  let json: unknown
  if (isNestedDeeper(bytes, MAX_NESTING)) {
    return err(t.shelfTooDeep({ name }))
  }
  try {
    json = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch {
    return err(t.shelfCutOff({ name }))
  }
  const { version } = (json ?? {}) as { version?: unknown }
  if (typeof version === 'number' && version > SHELF_VERSION) {
    return err(t.shelfNewer({ name }))
  }
  const file = v.safeParse(ShelfFileSchema, json)
  if (!file.success) return err(t.shelfDamaged({ name }))
  const entries: Entry[] = []
  const refused: string[] = []
  for (const [k, record] of file.output.entries.entries()) {
    const read = readEntry(record)
    if (read.ok) entries.push({ ...read.value, revision: Math.min(read.value.revision, MAX_REVISION) })
    else refused.push(t.refused({ name, why: subjectWords([`entries[${k}]`], documentSentence(read.error)) }))
  }
  const { unreadable, adapters } = file.output
  return ok({ entries, unreadable, adapters, refused })
}

/** The file of a record that cannot be read, for whoever wants to mend it or look at it. */
export const fileOfUnreadable = ({ key, record }: Unreadable): OutFile => ({
  name: `${key.replaceAll(/[^\w-]+/g, '-')}.record.json`,
  text: `${stored(record)}\n`,
})

/** A store holds more than JSON can say (large integers, circles), and what cannot be read must still become a file. */
function stored(value: unknown): string {
  const above: unknown[] = []
  const text = JSON.stringify(
    value,
    function (this: unknown, _, one: unknown) {
      if (typeof one === 'bigint') return String(one)
      if (typeof one !== 'object' || one === null) return one
      // What holds this value is the innermost of those above it.
      above.splice(above.indexOf(this) + 1)
      if (above.includes(one)) return 'a circle'
      above.push(one)
      return one
    },
    2,
  ) as string | undefined
  return text ?? 'undefined'
}

const [QUOTE, BACKSLASH, OPEN_LIST, CLOSE_LIST, OPEN_OBJECT, CLOSE_OBJECT] = [
  0x22, 0x5c, 0x5b, 0x5d, 0x7b, 0x7d,
]

/** Whether JSON in UTF-8 is nested deeper, found without parsing it. */
function isNestedDeeper(bytes: Uint8Array, most: number): boolean {
  let depth = 0
  let isText = false
  for (let k = 0; k < bytes.length; k++) {
    const byte = bytes[k]
    if (isText && byte === BACKSLASH) k++
    else if (byte === QUOTE) isText = !isText
    else if (isText) continue
    else if (byte === OPEN_LIST || byte === OPEN_OBJECT) depth++
    else if (byte === CLOSE_LIST || byte === CLOSE_OBJECT) depth--
    if (depth > most) return true
  }
  return false
}
