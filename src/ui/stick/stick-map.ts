import { AXIS_FULL } from '../../pad/extract.ts'
import type { StickPosition } from '../../pad/extract.ts'
import { stickNumbers } from '../../pad/stick/numbers.ts'
import { stickSectors } from '../../pad/stick/sectors.ts'
import type { Gate, StickSettings } from '../../pad/stick/settings.ts'
import { directionLabel } from './directions.ts'
import { placeAt, radiusAt, textbookArc } from './polar.ts'

/** The map over the plane of a stick, as paths in a square drawing. */

export const MAP_SIZE = 320
/** From the middle to the end of an axis, in the drawing's units. */
export const MAP_REACH = 148
const MIDDLE = MAP_SIZE / 2
const SCALE = MAP_REACH / AXIS_FULL
/** Where the words of the directions stand, between the usual press threshold and the edge. */
const WORD_REACH = 0.73 * AXIS_FULL
/** A gate's line is drawn in steps of so many degrees; a chord of a circle is then within 0.03 units of its arc. */
const STEP_DEGREES = 2

export interface MapRegion {
  /** The bits of `direction.ts`. */
  readonly directions: number
  readonly label: string
  /** Where it stays, once it is held. */
  readonly kept: string
  /** Middle of its word. */
  readonly word: { readonly x: number; readonly y: number }
}

export interface StickMap {
  readonly regions: readonly MapRegion[]
  /** Closed outlines. */
  readonly edge: string
  readonly outer: string
  readonly press: string
  readonly release: string
  /** Between two sectors, where what is held stays. */
  readonly bands: readonly string[]
  /** Within the bands: where the one ends and the other begins for who comes from the middle. */
  readonly borders: readonly string[]
}

const round = (value: number): number => Math.round(value * 100) / 100

/** A place of the stick as a point of the drawing. */
export const mapPoint = ({ x, y }: StickPosition): { readonly x: number; readonly y: number } => ({
  x: round(MIDDLE + x * SCALE),
  y: round(MIDDLE + y * SCALE),
})

const clamp = (value: number): number => Math.max(-AXIS_FULL, Math.min(AXIS_FULL, Math.round(value)))

/** The place of the stick at a point of the drawing; beyond the ends of the axes the nearest one. */
export const placeOfPoint = (x: number, y: number): StickPosition => ({
  x: clamp((x - MIDDLE) / SCALE),
  y: clamp((y - MIDDLE) / SCALE),
})

const point = (radius: number, degrees: number): string => {
  const { x, y } = mapPoint(placeAt(radius, degrees))
  return `${x} ${y}`
}

/** The angles at which a gate's line is drawn, ends and corners among them. */
function stepsBetween(from: number, to: number): number[] {
  const inner = new Set<number>()
  for (let k = Math.ceil(from / STEP_DEGREES); k * STEP_DEGREES < to; k++) inner.add(k * STEP_DEGREES)
  for (let k = Math.ceil(from / 22.5); k * 22.5 < to; k++) inner.add(k * 22.5)
  return [from, ...[...inner].filter((degrees) => degrees > from).sort((a, b) => a - b), to]
}

const alongGate = (gate: Gate, distance: number, from: number, to: number): string[] =>
  stepsBetween(from, to).map((degrees) => point(radiusAt(gate, distance, degrees), degrees))

const outline = (gate: Gate, distance: number): string =>
  `M${alongGate(gate, distance, 0, 360).slice(0, -1).join('L')}Z`

/** Between two lines of a gate and two angles. */
const patch = (gate: Gate, near: number, far: number, from: number, to: number): string =>
  `M${[...alongGate(gate, far, from, to), ...alongGate(gate, near, from, to).reverse()].join('L')}Z`

const ray = (gate: Gate, near: number, far: number, degrees: number): string =>
  `M${point(radiusAt(gate, near, degrees), degrees)}L${point(radiusAt(gate, far, degrees), degrees)}`

export function stickMap(settings: StickSettings): StickMap {
  const { gate, outerPercent } = settings
  const numbers = stickNumbers(settings)
  const { press, release } = numbers
  const regions: MapRegion[] = []
  const bands: string[] = []
  const borders: string[] = []
  for (const { directions, begun, entered, left } of stickSectors(numbers)) {
    const begins = textbookArc(begun)
    const keeps = textbookArc(left)
    const middle = (begins.from + begins.to) / 2
    regions.push({
      directions,
      label: directionLabel(directions),
      kept: patch(gate, release, AXIS_FULL, keeps.from, keeps.to),
      word: mapPoint(placeAt(Math.min(WORD_REACH, radiusAt(gate, AXIS_FULL, middle)), middle)),
    })
    // Each border is drawn once: where a sector begins, anticlockwise.
    bands.push(patch(gate, release, AXIS_FULL, keeps.from, textbookArc(entered).from))
    borders.push(ray(gate, press, AXIS_FULL, begins.from))
  }
  return {
    regions,
    edge: outline(gate, AXIS_FULL),
    outer: outline(gate, (AXIS_FULL * outerPercent) / 100),
    press: outline(gate, press),
    release: outline(gate, release),
    bands,
    borders,
  }
}
