import { t } from './decide-texts.ts'
import type { HangsOn, Judgement } from './judgement.ts'

/** What there is to do first where a verdict is undecided, and what deciding would bring. */
export function decideWords({ kind, cleanIf, trial }: HangsOn): string {
  if (kind === 'not-described') return t.describe
  if (kind === 'budget') return t.simplify
  return trial === null ? t.decide({ clean: cleanIf }) : t.decideBy({ clean: cleanIf, trial: trial.sentence })
}

/** The same where the trial is already shown next to it. */
export const bringsWords = (hangsOn: HangsOn): string => decideWords({ ...hangsOn, trial: null })

/**
 * What is said next to the figures of a title that does not read the profile right, or is not known to: such a title is not covered, and the figures
 * are worked out all the same. `null` where it reads right.
 *
 * @param isTrialShown whether the deciding trial is already shown next to it
 */
export function notCoveredWords(
  { verdict, hangsOn }: Pick<Judgement, 'verdict' | 'hangsOn'>,
  isTrialShown = false,
): string | null {
  if (verdict === 'misread') return t.misreadFigures
  if (hangsOn === null) return null
  return t.openFigures({ decide: isTrialShown ? bringsWords(hangsOn) : decideWords(hangsOn) })
}
