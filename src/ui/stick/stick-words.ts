import { AXIS_FULL } from '../../pad/extract.ts'
import { stickNumbers } from '../../pad/stick/numbers.ts'
import { noiseBorne, stickSectors } from '../../pad/stick/sectors.ts'
import type { Arc } from '../../pad/stick/sectors.ts'
import type { StickSettings } from '../../pad/stick/settings.ts'
import { directionLabel, heldWords } from './directions.ts'
import { textbookArc } from './polar.ts'
import type { Polar } from './polar.ts'
import { figure } from '../../words/texts.ts'
import type { StickSide } from '../../pad/hold.ts'
import { gateTexts, t } from './stick-texts.ts'

/** What the map of a stick says, in words. */

/** An angle from 0.00° to 359.99°. */
export const degreesWord = (degrees: number): string => {
  const hundredths = ((Math.round(degrees * 100) % 36_000) + 36_000) % 36_000
  return `${figure(hundredths / 100, 2)}°`
}

/** Cut off, never rounded up. */
const cut = (value: number): string => figure(Math.floor(value * 10) / 10, 1)

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
    return t.range({ from: degreesWord(from), to: degreesWord(to) })
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
  return t.steady({ borne: ofTravel(borne) })
}

/** What the map shows, for who does not see it. */
export function mapWords(side: StickSide, settings: StickSettings): string {
  const numbers = stickNumbers(settings)
  const sectors = stickSectors(numbers)
  const width = ({ fromDegrees, toDegrees }: Arc): string => figure(toDegrees - fromDegrees, 1)
  const [straight, diagonal] = sectors
  const map = t.map({
    side,
    gate: gateTexts[settings.gate],
    press: ofTravel(numbers.press),
    release: ofTravel(numbers.release),
  })
  if (!straight || !diagonal) return map
  const widths = {
    straight: width(straight.begun),
    band: figure(straight.left.toDegrees - straight.entered.toDegrees, 1),
  }
  const directions =
    sectors.length === 4 ? t.four(widths) : t.eight({ ...widths, diagonal: width(diagonal.begun) })
  return `${map} ${directions}`
}

/** Where a point is and what it holds. */
export function pointWords({ degrees, percent }: Polar, held: number): string {
  if (percent === 0) return t.inMiddle
  return t.at({
    percent: cut(percent),
    degrees: figure((Math.round(degrees * 10) % 3600) / 10, 1),
    directions: heldWords(held),
  })
}
