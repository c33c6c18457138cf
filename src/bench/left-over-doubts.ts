import { phaseAt } from '../port/chart.ts'
import { cellWord } from '../port/input-texts.ts'
import type { Profile } from '../profile/schema.ts'
import { mostUnseenCycles } from '../title/most-cycles.ts'
import type { Title } from '../title/schema.ts'
import { exactTimeWord } from '../words/figures.ts'
import { CountedRows } from './count-walk.ts'
import { t } from './doubt-texts.ts'
import { judgeLine } from './judge-line.ts'
import type { LaterReply } from './judge-line.ts'
import type { Doubt, JudgeOptions } from './judgement.ts'
import { carriedBy } from './reason.ts'

/**
 * Judges what captures show and no read explains, with no reading of it: where a profile can answer one of its phases otherwise than in the first
 * cycle, a title that samples there can be misled. One doubt for each reason, with all the stretches that it holds for.
 */
export function leftOverDoubts(profile: Profile, title: Title, { adapter }: JudgeOptions): Doubt[] {
  const { leftOver } = title
  if (leftOver === undefined) return []
  // Where a pad answers every count alike it does not matter what can have been counted.
  const rows = new CountedRows(profile.chart)
  if (!rows.hasLater) return []
  const byReason = new Map<string, { readonly stretch: number | null; readonly edge: number; n: number }>()
  const note = (reason: string, stretch: number | null, edge: number, n: number): void => {
    const known = byReason.get(reason)
    if (known) known.n += n
    else byReason.set(reason, { stretch, edge, n })
  }
  for (const [k, stretch] of leftOver.stretches.entries()) {
    const { danger, settlesAfterEdges } = judgeLine(profile, stretch, adapter)
    if (danger !== null) note(laterWords(profile, danger), k, danger.edge, stretch.seen)
    // What was counted before a capture began came of the title's own reads: those come again, and are judged so.
    else if (stretch.sinceRiseNs !== null && settlesAfterEdges !== 0)
      note(t.leftOverCounted, k, -1, stretch.seen)
  }
  if (leftOver.more > 0) note(t.leftOverNotKept, null, -1, leftOver.more)
  const cycles = mostUnseenCycles(title)
  const isHidden = cycles !== null && rows.isLaterIn(cycles, title.idle)
  const hidden = isHidden ? [hiddenDoubt(leftOver.sampledNs as number)] : []
  const told = [...byReason].map(([reason, { stretch, edge, n }]): Doubt => ({
    assumes: { kind: 'left-over', stretch, edge },
    condition: t.usesLeftOver({ n }),
    reason,
    example: null,
  }))
  return [...told, ...hidden]
}

const hiddenDoubt = (sampledNs: number): Doubt => ({
  assumes: { kind: 'left-over', stretch: null, edge: -1 },
  condition: t.hasHidden({ every: exactTimeWord(sampledNs) }),
  reason: t.hiddenCounted,
  example: null,
})

/** "One of its low phases can be cycle 3 low, which carries the identification." */
function laterWords({ chart }: Profile, { row, level }: LaterReply): string {
  return t.laterReply({
    cycle: row + 1,
    level: cellWord(level),
    carries: carriedBy(phaseAt(chart, row, level)),
  })
}
