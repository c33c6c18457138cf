import { levelOf } from '../../bench/reach/counting.ts'
import type { Explanation } from '../../bench/explain.ts'
import { cellLevel, phaseAt } from '../../port/chart.ts'
import type { Cell, Chart } from '../../port/chart.ts'
import { PINS, maskOf } from '../../port/pins.ts'
import type { Level, Pin } from '../../port/pins.ts'

/** A stretch of time, in ns from the start of the read. */
export interface Span {
  readonly fromNs: number
  readonly untilNs: number
}

/** One level of one line. */
export interface Piece extends Span {
  readonly level: Level
}

/** One cell on one pin, at the level that what is held gives it. */
export interface CellPiece extends Piece {
  readonly cell: Cell
}

/** What the pad shows of select for a while. */
interface ShownSpan extends Span {
  readonly rises: number
  readonly level: Level
}

/** Everything that the lines do in a stretch of time; the pieces of a line lie end to end and fill it. */
export interface Waves {
  readonly select: readonly Piece[]
  readonly pins: Readonly<Record<Pin, readonly CellPiece[]>>
}

/** All that a diagram shows: the read, and the right reply where it comes later still. */
export const spanOf = ({ fromNs, untilNs, dueNs }: Explanation): Span => ({
  fromNs,
  untilNs: Math.max(untilNs, (dueNs ?? untilNs) + 100),
})

/** The sample that goes wrong. */
export function guiltySample({ samples }: Explanation): Explanation['samples'][number] {
  const sample = samples.find(({ isGuilty }) => isGuilty)
  if (sample === undefined) throw new Error('an explanation has a guilty sample')
  return sample
}

/** The lines between two instants. */
export function wavesOf(explanation: Explanation, chart: Chart, span: Span): Waves {
  const { select, held, witness } = explanation
  const mask = maskOf(held)
  const shown = shownOf(explanation)
  const pieces = (pin: Pin): CellPiece[] =>
    merged(
      shown.map(({ fromNs, untilNs, rises, level }) => {
        const cell = phaseAt(chart, rises, level)[pin]
        return { fromNs, untilNs, cell, level: cellLevel(cell, mask) }
      }),
    )
  // A line that never comes up is never counted, and stays where it rests.
  const start = witness.counted.length > 0 ? select.start : restOf(explanation)
  const starts = [{ atNs: -Infinity, level: start }, ...select.edges]
  const levels = starts.map(({ atNs, level }, k) => ({
    fromNs: atNs,
    untilNs: starts[k + 1]?.atNs ?? Infinity,
    level,
  }))
  return {
    select: within(levels, span),
    pins: Object.fromEntries(PINS.map((pin) => [pin, within(pieces(pin), span)])) as Record<Pin, CellPiece[]>,
  }
}

/** Which reply the guilty sample meets, and for how long that stands. */
export function metBy(explanation: Explanation): ShownSpan {
  const { atNs } = guiltySample(explanation)
  const { rises, shownLevel } = explanation.example.place
  const around = shownOf(explanation).filter(({ fromNs, untilNs }) => fromNs <= atNs && atNs <= untilNs)
  // In the very instant of a change the sample meets the side that the bench names.
  const met =
    around.find((shown) => shown.rises === rises && shown.level === shownLevel) ?? around[around.length - 1]
  if (met === undefined) throw new Error('something is always shown')
  return met
}

/** What the pins show of select, from power-on to long after the read. */
function shownOf(explanation: Explanation): ShownSpan[] {
  const { before, counted, reads } = explanation.witness
  const startNs = reads[reads.length - 1]?.startNs ?? 0
  const changes = counted.map(({ shownNs, code, rises }) => ({
    fromNs: shownNs - startNs,
    rises,
    level: levelOf(code),
  }))
  const all = [{ fromNs: -Infinity, rises: before.rises, level: restOf(explanation) }, ...changes]
  return all.map((change, k) => ({ ...change, untilNs: all[k + 1]?.fromNs ?? Infinity }))
}

/** Where select rests: the first write of all takes it away from there. */
const restOf = ({ witness }: Explanation): Level =>
  witness.reads[0]?.writes[0]?.level === 'high' ? 'low' : 'high'

function merged(pieces: readonly CellPiece[]): CellPiece[] {
  const all: CellPiece[] = []
  for (const piece of pieces) {
    const last = all[all.length - 1]
    if (last?.cell === piece.cell) all[all.length - 1] = { ...last, untilNs: piece.untilNs }
    else all.push(piece)
  }
  return all
}

/** Cut off at both ends; what has no length is gone. */
const within = <P extends Span>(pieces: readonly P[], { fromNs, untilNs }: Span): P[] =>
  pieces
    .map((piece) => ({
      ...piece,
      fromNs: Math.max(piece.fromNs, fromNs),
      untilNs: Math.min(piece.untilNs, untilNs),
    }))
    .filter((piece) => piece.fromNs < piece.untilNs)
