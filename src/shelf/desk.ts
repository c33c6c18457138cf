import * as v from 'valibot'
import { CABLES } from '../port/cable.ts'
import { BANKS } from '../profile/schema.ts'
import { foreign } from '../words/foreign.ts'

/** What the last flash put where, for the title block. */
const LastFlashSchema = v.object({
  profileId: v.string(),
  revision: v.number(),
  bank: v.picklist(BANKS),
  crc32: v.number(),
  comparedBytes: v.number(),
  atMs: v.number(),
  demo: v.boolean(),
})

/** What the user says of an adapter, by its serial number: two on one console are told apart, and keep to their own pads. */
export const AdapterNoteSchema = v.object({
  /** What the user calls it; empty for nothing. */
  label: v.fallback(v.pipe(v.string(), v.maxLength(40), v.transform(foreign)), ''),
  /** The layouts that go into its banks; `null` for all that there are. */
  layoutIds: v.fallback(v.nullable(v.array(v.string())), null),
})
export type AdapterNote = Readonly<v.InferOutput<typeof AdapterNoteSchema>>

/** Light paper, the dark blueprint, or whichever the system prefers. */
export const SHEETS = ['system', 'paper', 'blueprint'] as const
export type SheetChoice = (typeof SHEETS)[number]

/** How things lie on the desk: not the work itself, and nothing is lost when it cannot be read. */
const DeskSchema = v.object({
  /** The demo was laid out once; clearing it is not undone by a reload, nor by a value that cannot be read. */
  seeded: v.fallback(v.boolean(), true),
  /** The first visit is over. */
  visited: v.fallback(v.boolean(), false),
  openId: v.fallback(v.nullable(v.string()), null),
  chosenTitleId: v.fallback(v.nullable(v.string()), null),
  /** Margin that is asked for, in ns. */
  marginNs: v.fallback(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(100_000)), 200),
  /** What joins the adapter to the console. */
  cable: v.fallback(v.picklist(CABLES), 'unknown'),
  lastFlash: v.fallback(v.nullable(LastFlashSchema), null),
  sheet: v.fallback(v.picklist(SHEETS), 'system'),
  adapters: v.fallback(v.record(v.string(), AdapterNoteSchema), {}),
})

export type Desk = Readonly<v.InferOutput<typeof DeskSchema>>

export const EMPTY_DESK: Desk = v.parse(DeskSchema, {
  seeded: false,
  visited: false,
  openId: null,
  chosenTitleId: null,
  marginNs: 200,
  cable: 'unknown',
  lastFlash: null,
  sheet: 'system',
  adapters: {},
})

/** A change of some of what is on the desk; `adapters` changes the notes that it names. */
export type DeskChange = Partial<Desk>

/** The later change over the earlier one. Fields that neither knows, such as those of a newer version, stay. */
export const withDeskChange = (before: DeskChange, change: DeskChange): DeskChange => ({
  ...before,
  ...change,
  ...(before.adapters && change.adapters ? { adapters: { ...before.adapters, ...change.adapters } } : {}),
})

/** Whether a stored desk is a record at all; one that is not is left alone. */
export const isDeskRecord = (stored: unknown): stored is Readonly<Record<string, unknown>> =>
  typeof stored === 'object' && stored !== null && !Array.isArray(stored)

/**
 * Whatever can be read of a stored desk. One that cannot be read at all is taken for that of somebody who was here before: nothing is
 * laid out for them anew.
 */
export function readDesk(stored: unknown): Desk {
  if (stored === undefined) return EMPTY_DESK
  const desk = v.safeParse(DeskSchema, { ...EMPTY_DESK, ...(isDeskRecord(stored) ? stored : {}) })
  if (desk.success && isDeskRecord(stored)) return desk.output
  return { ...EMPTY_DESK, seeded: true, visited: true }
}
