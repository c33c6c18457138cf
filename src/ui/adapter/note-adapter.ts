import { sameJson } from '../../document/same-json.ts'
import type { AdapterNote, Desk } from '../../shelf/desk.ts'
import type { ShelfState } from '../shelf-state.svelte.ts'

const NO_NOTE: AdapterNote = { label: '', layoutIds: null }

/** What the user said of an adapter. Its serial number is a word from outside: `constructor` names no note. */
export const noteOf = (adapters: Desk['adapters'], serialNumber: string): AdapterNote =>
  (Object.hasOwn(adapters, serialNumber) ? adapters[serialNumber] : undefined) ?? NO_NOTE

/** Keeps in mind what the user says of an adapter, by its serial number; what else was said of it stays. */
export function noteAdapter(
  shelf: Pick<ShelfState, 'desk' | 'setDesk'>,
  serialNumber: string,
  change: Partial<AdapterNote>,
): void {
  // This one alone: of the others another tab may know more.
  const note = { ...noteOf(shelf.desk.adapters, serialNumber), ...change }
  shelf.setDesk({ adapters: { [serialNumber]: note } })
}

/** What a saved shelf says of adapters of which nothing is said here. */
export const notesToBringBack = (adapters: Desk['adapters'], saved: Desk['adapters']): Desk['adapters'] =>
  Object.fromEntries(
    Object.entries(saved).filter(([serialNumber]) => sameJson(noteOf(adapters, serialNumber), NO_NOTE)),
  )
