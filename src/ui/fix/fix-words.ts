import type { Fix } from '../../bench/fix.ts'
import { costWords, fixWords } from '../../bench/fix/change-words.ts'
import { VERDICTS } from '../../bench/judgement.ts'
import type { Judgement } from '../../bench/judgement.ts'
import { listWords } from '../../words/lists.ts'
import { clauseWords } from '../../words/sentence-texts.ts'
import type { Profile } from '../../profile/schema.ts'
import { sameJson } from '../../document/same-json.ts'
import type { Title } from '../../title/schema.ts'
import { controlWord } from '../../pad/control-texts.ts'
import { adviceTexts, t } from './fix-texts.ts'

/** How fixes are said on screen. */

/** "stop after the second cycle", for buttons and for undo. */
export const fixLabel = ({ changes }: Fix, profile: Profile): string =>
  fixWords(changes, profile, controlWord)

/** A fix that the profile provides for already: somebody only has to do it. */
export const isThereAlready = (fix: Fix, profile: Profile): boolean => sameJson(fix.profile, profile)

/** What must be held at every power-on; `null` where the profile does it all. */
export function heldControls({ changes }: Fix): string | null {
  for (const change of changes)
    if (change.kind === 'first-cycle') return listWords(change.held.map(controlWord))
  return null
}

/**
 * What a fix leaves and gives up: "leaves Tidewatch tight; trade-off: …; reads worse then: Nine Moths".
 *
 * @param titles those that it fixes
 * @param worse names of other titles; `null`: they are not judged yet
 */
export function priceWords(titles: readonly Title[], fix: Fix, worse: readonly string[] | null): string {
  const left = titles.filter((_, k) => fix.judgements[k]?.verdict === 'tight').map(({ name }) => name)
  return clauseWords([
    ...(titles.length > 1 && left.length > 0 ? [t.leavesTight({ titles: listWords(left) })] : []),
    costWords(fix.changes, fix, titles.length),
    ...(worse === null ? [t.pending] : worse.length > 0 ? [t.readsWorse({ titles: listWords(worse) })] : []),
  ])
}

/** The worst verdict of several. */
export const worstOf = (judgements: readonly Judgement[]): Judgement['verdict'] =>
  VERDICTS.findLast((verdict) => judgements.some((one) => one.verdict === verdict)) ?? 'clean'

/** What is left to do where none of the changes helps this title. */
export function adviceWords({ counterexample, tightest }: Judgement): string {
  if (counterexample === null) return tightest?.by === 'reset' ? adviceTexts.reset : adviceTexts.reply
  const { cause } = counterexample
  return cause === 'count' || cause === 'belief' ? adviceTexts.cells : adviceTexts[cause]
}
