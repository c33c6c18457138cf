import type { Judgement } from '../../bench/judgement.ts'
import { timeWord } from '../../words/figures.ts'
import type { VerdictKind } from '../look/types.ts'
import { conditionWords } from '../../bench/turn-words.ts'
import { meaningTexts, t } from './verdict-texts.ts'

/** The margin of a judgement, in a few words. */
export function marginWords({ marginNs, verdict, isWhole }: Judgement): string {
  if (verdict === 'undecided') return ''
  if (marginNs === null) return t.margin({ kind: 'untimed', time: '' })
  if (verdict !== 'misread')
    return t.margin({ kind: isWhole ? 'margin' : 'atLeast', time: timeWord(marginNs) })
  return t.margin({ kind: marginNs < 0 ? 'inWrongReply' : 'none', time: timeWord(-marginNs) })
}

/** Why a verdict is what it is, in a list: of one that hangs on what the title does only the conditions. */
export const briefWords = (judgement: Judgement): string =>
  judgement.verdict === 'clean'
    ? marginWords(judgement)
    : judgement.hangsOn?.kind === 'title'
      ? conditionWords(judgement.hangsOn).join(' ')
      : judgement.reason

/** A judgement in full sentences, with the required margin where it matters. */
export function saidWords({ verdict, isWhole, marginNs, reason }: Judgement, requiredNs: number): string {
  if (verdict === 'tight') return t.tight({ reason, required: timeWord(requiredNs) })
  if (verdict === 'misread' || verdict === 'undecided' || !isWhole) return reason
  return t.clean({ timed: marginNs !== null, time: marginNs === null ? '' : timeWord(marginNs) })
}

/** What each verdict means, with the required margin. */
export function verdictMeanings(marginNs: number): Readonly<Record<VerdictKind, string>> {
  const margin = timeWord(marginNs)
  return {
    misread: meaningTexts.misread,
    undecided: meaningTexts.undecided,
    tight: meaningTexts.tight({ margin }),
    clean: meaningTexts.clean({ margin }),
  }
}
