import { AXIS_FULL } from '../../pad/extract.ts'
import { stickNumbers } from '../../pad/stick/numbers.ts'
import { noiseBorne, stickSectors } from '../../pad/stick/sectors.ts'
import type { Arc } from '../../pad/stick/sectors.ts'
import type { Gate, StickSettings } from '../../pad/stick/settings.ts'
import { directionLabel, heldWords } from './directions.ts'
import { textbookArc } from './polar.ts'
import type { Polar } from './polar.ts'

/** What the map of a stick says, in words. */

export const GATE_WORDS: Readonly<Record<Gate, string>> = {
  circle: 'circle',
  square: 'square',
  octagon: 'octagon',
}

/** An angle from 0.00° to 359.99°. */
export const degreesWord = (degrees: number): string => {
  const hundredths = ((Math.round(degrees * 100) % 36_000) + 36_000) % 36_000
  return `${(hundredths / 100).toFixed(2)}°`
}

/** Cut off, never rounded up. */
const cut = (value: number): string => (Math.floor(value * 10) / 10).toFixed(1)

const ofTravel = (distance: number): string => cut((100 * distance) / AXIS_FULL)

export interface SectorRow {
  readonly directions: number
  readonly label: string
  /** "from 22.50° to 67.50°", anticlockwise. */
  readonly begun: string
  readonly entered: string
  readonly left: string
}

/** The sectors anticlockwise from the right, in exact angles. */
export function sectorRows(settings: StickSettings): SectorRow[] {
  const words = (arc: Arc): string => {
    const { from, to } = textbookArc(arc)
    return `${degreesWord(from)} … ${degreesWord(to)}`
  }
  const middle = (arc: Arc): number => (450 - (arc.fromDegrees + arc.toDegrees) / 2) % 360
  return [...stickSectors(stickNumbers(settings))]
    .sort((a, b) => middle(a.begun) - middle(b.begun))
    .map(({ directions, begun, entered, left }) => ({
      directions,
      label: directionLabel(directions),
      begun: words(begun),
      entered: words(entered),
      left: words(left),
    }))
}

/** Up to what movement nothing chatters. */
export function steadyWords(settings: StickSettings): string {
  const borne = noiseBorne(stickNumbers(settings), settings.gate)
  return `Steady up to movement of ${ofTravel(borne)} % of the stick’s travel.`
}

/** What the map shows, for who does not see it. */
export function mapWords(side: string, settings: StickSettings): string {
  const numbers = stickNumbers(settings)
  const sectors = stickSectors(numbers)
  const width = ({ fromDegrees, toDegrees }: Arc): string => (toDegrees - fromDegrees).toFixed(1)
  const [straight, diagonal] = sectors
  const directions =
    sectors.length === 4 || !straight || !diagonal
      ? 'Four directions of 90.0° each'
      : `Eight directions: straight ones of ${width(straight.begun)}°, diagonals of ${width(diagonal.begun)}°`
  const band = straight ? (straight.left.toDegrees - straight.entered.toDegrees).toFixed(1) : '0'
  return (
    `Map of the ${side} stick: ${GATE_WORDS[settings.gate]}, pressed from ${ofTravel(numbers.press)} % of its travel on, ` +
    `let go below ${ofTravel(numbers.release)} %. ${directions}; between two of them ${band}° where what is held stays.`
  )
}

/** Where a point is and what it holds. */
export function pointWords({ degrees, percent }: Polar, held: number): string {
  if (percent === 0) return 'in the middle: holds nothing'
  return `${cut(percent)} % out at ${((Math.round(degrees * 10) % 3600) / 10).toFixed(1)}°: holds ${heldWords(held)}`
}
