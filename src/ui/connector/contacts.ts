import type { Pin } from '../../port/pins.ts'

/** The nine contacts of the connector by number. Every data pin is one; select is 7. */
export const CONTACTS = [1, 2, 3, 4, 5, 6, 7, 8, 9] as const
export type Contact = (typeof CONTACTS)[number]

/** The contact that select comes in on. */
export const SELECT_CONTACT = 7 satisfies Contact

type ContactRole = 'data' | 'supply' | 'select' | 'ground'

/** Roles on the select-line pad port. Source: common practice, no source. */
export const ROLES: Readonly<Record<Contact, ContactRole>> = {
  1: 'data',
  2: 'data',
  3: 'data',
  4: 'data',
  5: 'supply',
  6: 'data',
  7: 'select',
  8: 'ground',
  9: 'data',
}

/** Whether a contact is a data pin. */
export const isDataPin = (contact: Contact): contact is Pin => ROLES[contact] === 'data'

/** Who looks at what: the console's plug, our socket, or the back of our socket where wires are soldered. */
export const VIEWS = ['console', 'ours', 'solder'] as const
export type View = (typeof VIEWS)[number]
