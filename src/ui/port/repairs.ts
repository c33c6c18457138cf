import { judge } from '../../bench/judge.ts'
import type { JudgeOptions } from '../../bench/judge.ts'
import { VERDICTS } from '../../bench/judgement.ts'
import type { Judgement } from '../../bench/judgement.ts'
import { inputList, listWords, ordinalWord } from '../../bench/words.ts'
import type { Chart } from '../../port/chart.ts'
import { INPUTS, PINS, isInput } from '../../port/pins.ts'
import type { Input } from '../../port/pins.ts'
import { stopAfter } from '../../profile/chart-commands.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'

/** A chart command that turns a title's verdict, and its price. */
export interface Repair {
  /** The last cycle that is kept, from 1. */
  readonly cycles: number
  readonly chart: Chart
  readonly judgement: Judgement
  /** Inputs that the chart carried and no longer does. */
  readonly lost: readonly Input[]
  /** Those of them that this title reads. */
  readonly lostHere: readonly Input[]
}

const carried = (chart: Chart): Set<string> => {
  const rows = [...chart.cycles, ...(chart.after.kind === 'stay' ? [chart.after.reply] : [])]
  return new Set(rows.flatMap(({ high, low }) => PINS.flatMap((pin) => [high[pin], low[pin]])))
}

/** How good a verdict is; smaller is better. */
const rank = ({ verdict }: Judgement): number => VERDICTS.indexOf(verdict)

/**
 * Stops after the first, second, … cycle are tried on the bench; offered are those with a better verdict than now,
 * the cheapest first.
 */
export function repairsFor(profile: Profile, title: Title, now: Judgement, options: JudgeOptions): Repair[] {
  if (now.verdict === 'clean') return []
  const before = carried(profile.chart)
  const read = new Set(title.samples.flatMap(({ pins }) => Object.values(pins)))
  return profile.chart.cycles
    .flatMap((_, k): Repair[] => {
      const chart = stopAfter(profile.chart, k + 1)
      const judgement = judge({ ...profile, chart }, title, options)
      if (rank(judgement) >= rank(now)) return []
      const after = carried(chart)
      const lost = INPUTS.filter((input) => isInput(input) && before.has(input) && !after.has(input))
      return [{ cycles: k + 1, chart, judgement, lost, lostHere: lost.filter((input) => read.has(input)) }]
    })
    .sort(
      (p, q) => rank(p.judgement) - rank(q.judgement) || p.lost.length - q.lost.length || q.cycles - p.cycles,
    )
}

export const repairWords = ({ cycles }: Repair): string => `stop after the ${ordinalWord(cycles)} cycle`

/** What a repair costs, and what it leaves of other titles. */
export function priceWords({ lost, lostHere }: Repair, turned: readonly string[]): string {
  const parts: string[] = []
  if (lostHere.length > 0) parts.push(`costs ${inputList(lostHere)} in this title`)
  else if (lost.length > 0)
    parts.push(`costs ${inputList(lost)} in titles that know six buttons, nothing in this one`)
  else parts.push('costs nothing')
  if (turned.length > 0) parts.push(`reads worse then: ${listWords(turned)}`)
  return parts.join('; ')
}

/** What can be done where no repair of the chart helps: one or two sentences for a verdict that is not clean. */
export function adviceWords({ counterexample, tightest }: Judgement, delayNs: number): string {
  if (counterexample === null) {
    if (tightest?.by === 'reset')
      return 'The idle reset falls close to this read. A little more or less of it, on the Profile, moves it away.'
    return `No cell of the chart changes that: it is the time in which the pins follow select. ${quickerWords(delayNs)}`
  }
  switch (counterexample.cause) {
    case 'settling':
      return `The title samples sooner than the reply can stand: only a quicker reply would help. ${quickerWords(delayNs)}`
    case 'slow-rise':
      return 'The title looks before select has risen by itself. No profile changes that; try it on the machine.'
    case 'opposite':
      return 'Set a policy for opposite directions on the Profile, and no more than one of a pair reaches the title.'
    case 'count':
    case 'belief':
      return 'No stop after an earlier cycle mends this. Unlock the chart to change its cells yourself.'
  }
}

const quickerWords = (delayNs: number): string =>
  delayNs > 0
    ? `Take the deliberate delay of ${delayNs} ns out, on the Profile.`
    : 'The profile asks for no delay already, so the rest is the adapter’s own: try this title before it counts.'
