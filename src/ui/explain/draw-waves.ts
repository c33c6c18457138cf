import type { Explanation } from '../../bench/explain.ts'
import { cellWord } from '../../port/input-texts.ts'
import { PINS } from '../../port/pins.ts'
import type { Pin } from '../../port/pins.ts'
import type { Rectangle, Spot } from '../chart/paper.ts'
import type { DrawnPin } from './drawing.ts'
import type { DiagramLayout } from './diagram-layout.ts'
import { LETTER } from './diagram-layout.ts'
import { guiltySample, metBy } from './waves.ts'
import type { CellPiece, Piece, Span } from './waves.ts'

export function wavePath(
  { paper, scale, lanes }: DiagramLayout,
  lane: number,
  pieces: readonly Piece[],
): string {
  const place = lanes[lane]
  if (place === undefined) return ''
  return paper.path(
    pieces.flatMap(({ fromNs, untilNs, level }): Spot[] => {
      const across = paper.level(place, level)
      return [
        [scale.at(fromNs), across],
        [scale.at(untilNs), across],
      ]
    }),
  )
}

export function slopesOf({ paper, scale, lanes }: DiagramLayout, { witness }: Explanation): string[] {
  const read = witness.reads[witness.reads.length - 1]
  const lane = lanes[0]
  if (read === undefined || lane === undefined) return []
  return read.writes.flatMap(({ atNs, risesNs }) => {
    const [from, until] = [atNs - read.startNs, (risesNs ?? atNs) - read.startNs]
    if (from >= until || from < scale.fromNs || until > scale.untilNs) return []
    return [
      paper.path([
        [scale.at(from), paper.level(lane, 'low')],
        [scale.at(until), paper.level(lane, 'high')],
      ]),
    ]
  })
}

export function drawPin(
  layout: DiagramLayout,
  explanation: Explanation,
  pin: Pin,
  lane: number,
  pieces: readonly CellPiece[],
): DrawnPin {
  const { paper, scale, turned, lanes } = layout
  const { start, size } = lanes[lane] ?? { start: 0, size: 0 }
  const met = metBy(explanation)
  const isHeld = ({ cell, level }: CellPiece): boolean => cell !== level && level === 'low'
  const isGuilty = ({ fromNs, untilNs }: CellPiece): boolean =>
    explanation.example.pins.includes(pin) && fromNs < met.untilNs && met.fromNs < untilNs
  const fits = (piece: CellPiece, text: string): boolean =>
    scale.at(piece.untilNs) - scale.at(piece.fromNs) >= (turned ? 14 : text.length * LETTER + 2)
  return {
    pin,
    path: wavePath(layout, lane, pieces),
    held: pieces
      .filter(isHeld)
      .map(({ fromNs, untilNs }) =>
        paper.box(scale.at(fromNs), start, scale.at(untilNs) - scale.at(fromNs), size),
      ),
    words: pieces.flatMap((piece): DrawnPin['words'] => {
      const kind = isGuilty(piece) ? 'guilty' : 'held'
      const text = cellWord(piece.cell)
      if (!fits(piece, text) || (kind === 'held' && !isHeld(piece))) return []
      const along = wordAlong(layout, explanation, piece, kind === 'guilty')
      // Words keep off the line, which stands at one side of the lane.
      const lean = turned ? 0 : piece.level === 'low' ? -2 : 3
      return [{ ...paper.at(along, start + size / 2 + lean), text, anchor: 'middle', kind }]
    }),
  }
}

/** In the middle; the word of a cell at fault stands on the wider side of the sample that meets it. */
function wordAlong(
  { scale }: DiagramLayout,
  explanation: Explanation,
  piece: Span,
  isGuilty: boolean,
): number {
  const [from, until] = [scale.at(piece.fromNs), scale.at(piece.untilNs)]
  const sample = scale.at(guiltySample(explanation).atNs)
  if (!isGuilty || sample <= from || sample >= until) return (from + until) / 2
  return sample - from > until - sample ? (from + sample) / 2 : (sample + until) / 2
}

export function tintOf({ paper, scale, lanes }: DiagramLayout, explanation: Explanation): Rectangle[] {
  const met = metBy(explanation)
  const from = scale.at(Math.max(met.fromNs, scale.fromNs))
  const until = scale.at(Math.min(met.untilNs, scale.untilNs))
  return explanation.example.pins.map((pin) => {
    const { start, size } = lanes[PINS.indexOf(pin) + 1] ?? { start: 0, size: 0 }
    return paper.box(from, start - 4, until - from, size + 8)
  })
}
