import type { AdapterNote } from '../../shelf/desk.ts'
import type { ShelfState } from '../shelf-state.svelte.ts'

const NO_NOTE: AdapterNote = { label: '', layoutIds: null }

/** Keeps in mind what the user says of an adapter, by its serial number; what else was said of it stays. */
export function noteAdapter(
  shelf: Pick<ShelfState, 'desk' | 'setDesk'>,
  serialNumber: string,
  change: Partial<AdapterNote>,
): void {
  const { adapters } = shelf.desk
  const note = { ...NO_NOTE, ...adapters[serialNumber], ...change }
  shelf.setDesk({ adapters: { ...adapters, [serialNumber]: note } })
}
