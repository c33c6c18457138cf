import { aliases } from '../../bench/repeat/aliases.ts'
import type { Rate, RepeatFinding, RepeatSeen } from '../../bench/repeat/seen.ts'
import { FINDING_WORDS } from '../../bench/repeat/repeat-words.ts'
import { rowWords } from '../../words/lists.ts'
import { figure } from '../../words/texts.ts'
import { t } from './repeat-texts.ts'

export interface RateCell {
  readonly rate: Rate
  /** Presses a second where the title sees the rate as asked, else nothing. */
  readonly hz: string | null
  /** What the title sees of it. */
  readonly says: string
}

/** The rates of a grid, a row for each number of reads pressed, a cell for each number of reads released. */
export function rateRows(grid: readonly RepeatSeen[]): readonly (readonly RateCell[])[] {
  const rows = new Map<number, RateCell[]>()
  for (const { rate, finding, askedHz } of grid) {
    const row = rows.get(rate.pressedReads) ?? []
    row.push({ rate, hz: finding === 'as-asked' ? figure(askedHz, 1) : null, says: FINDING_WORDS[finding] })
    rows.set(rate.pressedReads, row)
  }
  return [...rows.values()]
}

/** "63 of 64 are seen as asked; 1 is not: same in each frame (1)." */
export function rateSentence(grid: readonly RepeatSeen[]): string {
  const wrong = new Map<RepeatFinding, number>()
  for (const { finding } of aliases(grid)) wrong.set(finding, (wrong.get(finding) ?? 0) + 1)
  const n = grid.length
  if (wrong.size === 0) return t.allAsAsked({ n })
  const told = [...wrong].map(([finding, count]) =>
    wrong.size === 1 ? FINDING_WORDS[finding] : t.counted({ n: count, finding: FINDING_WORDS[finding] }),
  )
  const others = [...wrong.values()].reduce((total, count) => total + count, 0)
  return t.asAsked({ as: n - others, n, others, findings: rowWords(told) })
}

/**
 * Where a key leads from a cell: by arrows to the next rate in that direction that is seen as asked, by Home and End to the first and last of
 * the row. The same place where there is none; `null` for other keys.
 */
export function rateByKey(
  rows: readonly (readonly RateCell[])[],
  from: { readonly row: number; readonly column: number },
  key: string,
): { readonly row: number; readonly column: number } | null {
  const step = STEPS[key]
  const isClean = (row: number, column: number) => (rows[row]?.[column]?.hz ?? null) !== null
  if (step) {
    let [row, column] = [from.row + step[0], from.column + step[1]]
    while (rows[row]?.[column] && !isClean(row, column)) [row, column] = [row + step[0], column + step[1]]
    return isClean(row, column) ? { row, column } : from
  }
  if (key !== 'Home' && key !== 'End') return null
  const row = rows[from.row] ?? []
  const find =
    key === 'Home' ? row.findIndex(({ hz }) => hz !== null) : row.findLastIndex(({ hz }) => hz !== null)
  return find === -1 ? from : { row: from.row, column: find }
}

const STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowUp: [-1, 0],
  ArrowDown: [1, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
}
