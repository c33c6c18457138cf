import { heldAtPowerOn } from '../../bench/fix.ts'
import type { Fix } from '../../bench/fix.ts'
import { costWords, fixWords } from '../../bench/fix/change-words.ts'
import { bringsWords } from '../../bench/decide-words.ts'
import type { HangsOn, Judgement } from '../../bench/judgement.ts'
import { listWords } from '../../words/lists.ts'
import { clauseWords } from '../../words/sentence-texts.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import { controlWord } from '../../pad/control-texts.ts'
import { adviceTexts, t } from './fix-texts.ts'

/** How fixes are said on screen. */

/** "stop after the second cycle", for buttons and for undo. */
export const fixLabel = ({ changes }: Fix, profile: Profile): string =>
  fixWords(changes, profile, controlWord)

/** What must be held at every power-on; `null` where the profile does it all. */
export function heldControls(fix: Fix): string | null {
  const held = heldAtPowerOn(fix)
  return held && listWords(held.map(controlWord))
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

/** What is left to do where none of the changes helps this title. */
export function adviceWords({ counterexample, tightest, hangsOn }: Judgement): string {
  if (hangsOn !== null) return adviceTexts.noneForAll
  if (counterexample === null) {
    const by = tightest?.by ?? 'edge'
    return by === 'edge' ? adviceTexts.reply : adviceTexts[by]
  }
  const { cause } = counterexample
  return cause === 'count' || cause === 'belief' ? adviceTexts.cells : adviceTexts[cause]
}

/** Which of the titles to decide first, and of one alone what that brings; `null` where none is undecided. The trial stands with the verdict. */
export function decideFirstWords(
  titles: readonly { readonly name: string; readonly hangsOn: HangsOn | null }[],
): string | null {
  const open = titles.filter(({ hangsOn }) => hangsOn !== null)
  const [first] = open
  if (!first?.hangsOn) return null
  if (titles.length === 1) return bringsWords(first.hangsOn)
  return t.decideFirst({ n: open.length, titles: listWords(open.map(({ name }) => name)) })
}
