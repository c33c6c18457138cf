import { CONTACTS } from './contacts.ts'
import type { Contact, View } from './contacts.ts'

/*
 * The nine-way D connector in millimetres, origin in its middle.
 * Source: DIN 41652 / MIL-DTL-24308, all figures from memory.
 */

export const PITCH_MM = 2.77
export const ROWS_APART_MM = 2.84
export const SIDES_DEG = 10
/** Width and height of the shell's opening, and the radius of its corners. */
export const SHELL_MM = { width: 16.9, height: 8.4, radius: 2.6 } as const
/** Diameter of a pin, of the hole that takes it, and of a solder cup. */
export const CONTACT_MM = { console: 1.02, ours: 1.5, solder: 1.7 } as const

interface PlaceMm {
  readonly xMm: number
  readonly yMm: number
}

/**
 * Where a contact stands, seen in a view with the wide side up. The faces of a plug and of the socket that meets it
 * are mirror images; the solder side is the back of our socket, and so the mirror of our face.
 */
export function contactPlace(contact: Contact, view: View): PlaceMm {
  const isUpper = contact <= 5
  // Upper row: 3 in the middle. Lower row: half a pitch in, between 7 and 8.
  const steps = isUpper ? contact - 3 : contact - 7.5
  const mirrored = view === 'ours' ? -1 : 1
  return { xMm: steps * PITCH_MM * mirrored || 0, yMm: ((isUpper ? -1 : 1) * ROWS_APART_MM) / 2 }
}

/** All nine, as they stand. */
export const places = (view: View): { contact: Contact; place: PlaceMm }[] =>
  CONTACTS.map((contact) => ({ contact, place: contactPlace(contact, view) }))

/** The contact next to one in a direction, as the eye sees it; itself at the edge. */
export function neighbour(from: Contact, key: string, view: View): Contact | undefined {
  const rows: readonly (readonly Contact[])[] = [
    [1, 2, 3, 4, 5],
    [6, 7, 8, 9],
  ]
  const seen = rows.map((row) => (view === 'ours' ? row.toReversed() : row))
  const r = seen.findIndex((row) => row.includes(from))
  const row = seen[r] ?? []
  const k = row.indexOf(from)
  switch (key) {
    case 'ArrowRight':
      return row[Math.min(k + 1, row.length - 1)]
    case 'ArrowLeft':
      return row[Math.max(k - 1, 0)]
    case 'ArrowDown':
      return r === 0 ? seen[1]?.[Math.min(k, 3)] : from
    case 'ArrowUp':
      return r === 1 ? seen[0]?.[k] : from
    case 'Home':
      return 1
    case 'End':
      return 9
    default:
      return undefined
  }
}

/** Outline of the shell grown by `growMm`: a D with straight sides 10° in and round corners, as an SVG path in mm. */
export function shellPath(growMm = 0): string {
  const height = SHELL_MM.height + 2 * growMm
  const top = SHELL_MM.width / 2 + growMm / Math.cos((SIDES_DEG * Math.PI) / 180)
  const bottom = top - height * Math.tan((SIDES_DEG * Math.PI) / 180)
  const radius = SHELL_MM.radius + growMm
  const corners: readonly PlaceMm[] = [
    { xMm: -top, yMm: -height / 2 },
    { xMm: top, yMm: -height / 2 },
    { xMm: bottom, yMm: height / 2 },
    { xMm: -bottom, yMm: height / 2 },
  ]
  return `${corners.map((corner, k) => roundCorner(corners.at(k - 1) ?? corner, corner, corners[(k + 1) % 4] ?? corner, radius, k === 0)).join('')}Z`
}

const toward = (from: PlaceMm, to: PlaceMm, lengthMm: number): string => {
  const span = Math.hypot(to.xMm - from.xMm, to.yMm - from.yMm)
  const at = (p: number, q: number) => (p + ((q - p) * lengthMm) / span).toFixed(3)
  return `${at(from.xMm, to.xMm)} ${at(from.yMm, to.yMm)}`
}

/** Line to where the corner's arc begins, and the arc, which leaves both sides as their tangent. */
function roundCorner(
  before: PlaceMm,
  corner: PlaceMm,
  after: PlaceMm,
  radiusMm: number,
  first: boolean,
): string {
  const angle = (p: PlaceMm) => Math.atan2(p.yMm - corner.yMm, p.xMm - corner.xMm)
  const between = Math.abs(angle(before) - angle(after))
  const opening = Math.min(between, 2 * Math.PI - between)
  const cut = radiusMm / Math.tan(opening / 2)
  return `${first ? 'M' : 'L'}${toward(corner, before, cut)}A${radiusMm} ${radiusMm} 0 0 1 ${toward(corner, after, cut)}`
}
