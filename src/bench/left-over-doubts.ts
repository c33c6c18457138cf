import { phaseAt } from '../port/chart.ts'
import { cellWord } from '../port/input-texts.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { ordinalWord } from '../words/number-texts.ts'
import { t } from './doubt-texts.ts'
import { judgeLine } from './judge-line.ts'
import type { LaterReply } from './judge-line.ts'
import type { Doubt, JudgeOptions } from './judgement.ts'
import { carriedBy } from './reason.ts'

/**
 * What captures show and no read explains is judged with no reading of it: where a profile can answer one of its phases otherwise than in the first
 * cycle, whoever samples there may be misled. One doubt for each stretch that can.
 */
export function leftOverDoubts(profile: Profile, { leftOver }: Title, { adapter }: JudgeOptions): Doubt[] {
  if (leftOver === undefined) return []
  const doubts = leftOver.stretches.flatMap((stretch, k): Doubt[] => {
    const { danger, settlesAfterEdges } = judgeLine(profile, stretch, adapter)
    // What a capture begins with was counted by whoever came before: its reads come again, and are judged so.
    const isCounted = stretch.sinceRiseNs !== null && settlesAfterEdges !== 0
    if (danger === null && !isCounted) return []
    const said = { n: stretch.seen }
    return [
      {
        assumes: { kind: 'left-over', stretch: k, edge: danger?.edge ?? -1 },
        condition: t.usesLeftOver(said),
        reason: danger === null ? t.leftOverCounted : laterWords(profile, danger),
        example: null,
      },
    ]
  })
  if (leftOver.more === 0) return doubts
  return [
    ...doubts,
    {
      assumes: { kind: 'left-over', stretch: null, edge: -1 },
      condition: t.usesLeftOver({ n: leftOver.more }),
      reason: t.leftOverNotKept,
      example: null,
    },
  ]
}

/** "Its third low phase can carry the identification." */
function laterWords({ chart }: Profile, { row, level }: LaterReply): string {
  return t.laterReply({
    nth: ordinalWord(row + 1),
    level: cellWord(level),
    carries: carriedBy(phaseAt(chart, row, level)),
  })
}
