import * as v from 'valibot'
import { readJson } from '../document/document.ts'
import type { DocumentError } from '../document/document.ts'
import { LAYOUT_KIND } from '../pad/layout/schema.ts'
import type { Layout } from '../pad/layout/schema.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { PROFILE_KIND } from '../profile/schema.ts'
import type { Profile } from '../profile/schema.ts'
import { TITLE_KIND } from '../title/schema.ts'
import type { Title } from '../title/schema.ts'
import { storeTexts as t } from './shelf-texts.ts'

/** What the shelf says of a document beside the document itself. */
interface Card {
  readonly id: string
  /** Goes up with every edit, an undo included: one number never stands for two contents. */
  readonly revision: number
  /** Where it stands in its list; smaller first. */
  readonly place: number
  /** Demo documents become the user's own with the first edit. */
  readonly origin: 'demo' | 'own'
}

export interface ProfileEntry extends Card {
  readonly kind: 'profile'
  readonly document: Profile
}

export interface TitleEntry extends Card {
  readonly kind: 'title'
  readonly document: Title
}

export interface LayoutEntry extends Card {
  readonly kind: 'layout'
  readonly document: Layout
}

export type Entry = ProfileEntry | TitleEntry | LayoutEntry

/** The key of a kept document in the store. */
export type EntryKey = `${Entry['kind']}:${string}`

export const keyOf = ({ kind, id }: Pick<Entry, 'kind' | 'id'>): EntryKey => `${kind}:${id}`

export const isEntryKey = (key: unknown): key is EntryKey =>
  typeof key === 'string' && /^(profile|title|layout):./s.test(key)

const KINDS = { profile: PROFILE_KIND, title: TITLE_KIND, layout: LAYOUT_KIND } as const

const CardSchema = v.object({
  kind: v.picklist(['profile', 'title', 'layout']),
  /** Not empty: what is stored without an id would never be read again. */
  id: v.pipe(v.string(), v.minLength(1)),
  revision: v.pipe(v.number(), v.integer(), v.minValue(1)),
  // Where it stands is not the work itself; JSON has no infinity, and beyond the safe integers nothing comes after it.
  place: v.fallback(
    v.pipe(v.number(), v.minValue(-Number.MAX_SAFE_INTEGER), v.maxValue(Number.MAX_SAFE_INTEGER)),
    0,
  ),
  origin: v.picklist(['demo', 'own']),
  document: v.unknown(),
})

/** Reads a record of the store with the same care as a file from elsewhere. */
export function readEntry(record: unknown): Result<Entry, DocumentError> {
  const card = v.safeParse(CardSchema, record)
  if (!card.success) return err({ place: '', message: t.recordDamaged })
  const { kind, document, ...rest } = card.output
  if (kind === 'profile') {
    const profile = readJson(PROFILE_KIND, document)
    return profile.ok ? ok({ kind, ...rest, document: profile.value }) : profile
  }
  if (kind === 'layout') {
    const layout = readJson(LAYOUT_KIND, document)
    return layout.ok ? ok({ kind, ...rest, document: layout.value }) : layout
  }
  const title = readJson(TITLE_KIND, document)
  return title.ok ? ok({ kind, ...rest, document: title.value }) : title
}

/** Whether a record holds a document of an older file version than this Ninepin writes. */
export function isOfOlderVersion(record: unknown): boolean {
  const card = v.safeParse(CardSchema, record)
  if (!card.success) return false
  const { version } = (card.output.document ?? {}) as { version?: unknown }
  return typeof version === 'number' && version < KINDS[card.output.kind].version
}

/** A name for a new document, different from all others. Works on pages that are not secure, too. */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12))
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('')
}
