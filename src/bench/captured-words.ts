import { phaseAt } from '../port/chart.ts'
import { cellWord } from '../port/input-texts.ts'
import { PINS } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { GLITCH_NS } from '../title/select-line.ts'
import type { SelectLine } from '../title/select-line.ts'
import { exactTimeWord } from '../words/figures.ts'
import { listWords } from '../words/lists.ts'
import { t } from './captured-texts.ts'
import type { CaptureDanger, JudgedCapture } from './judge-capture.ts'
import { carriedBy } from './reason.ts'

/**
 * What a captured line says by itself of a profile, a sentence each: whether a count can spoil it and where, and what becomes of what was
 * counted before.
 */
export function capturedWords(
  profile: Pick<Profile, 'chart'>,
  { startNs, sampledNs }: Pick<SelectLine, 'startNs' | 'sampledNs'>,
  { byCount, danger, settlesAfterEdges, edges, cutAtNs, fromPowerOn }: JudgedCapture,
): string[] {
  const at = (ns: number): string => exactTimeWord(ns - startNs)
  const said =
    danger !== null ? dangerWords(profile, danger, at) : byCount === 'clean' ? t.allFirst : t.fromNothing
  return [
    said,
    ...(sampledNs === null ? [] : [t.sampled({ every: exactTimeWord(Math.round(sampledNs)) })]),
    ...(cutAtNs === null ? [] : [t.cut({ at: at(cutAtNs) })]),
    fromPowerOn ? t.fromPowerOn : countedBefore(danger === null, settlesAfterEdges, edges),
  ]
}

function countedBefore(isRight: boolean, afterEdges: number | null, edges: number): string {
  if (afterEdges === null) return t.neverSettles
  if (afterEdges === 0) return isRight ? t.settlesRightAtOnce : t.settlesAtOnce
  const said = { n: afterEdges, edges }
  return isRight ? t.settlesRight(said) : t.settles(said)
}

function dangerWords(
  { chart }: Pick<Profile, 'chart'>,
  danger: CaptureDanger,
  at: (ns: number) => string,
): string {
  if (danger.kind === 'unknown') return t.unknown({ at: at(danger.atNs) })
  if (danger.kind === 'glitch') return t.glitch({ at: at(danger.atNs), least: exactTimeWord(GLITCH_NS) })
  if (danger.kind === 'sampled') return t.hidden({ every: exactTimeWord(Math.round(danger.everyNs)) })
  const { edge, atNs, level, row } = danger
  const [first, phase] = [phaseAt(chart, 0, level), phaseAt(chart, row, level)]
  const cells = PINS.filter((pin) => phase[pin] !== first[pin])
  return t.later({
    edge: edge + 1,
    at: at(atNs),
    level: cellWord(level),
    cycle: row + 1,
    carries: carriedBy(phase),
    cells: listWords(cells.map((pin) => t.cell({ cell: cellWord(phase[pin]), pin }))),
  })
}
