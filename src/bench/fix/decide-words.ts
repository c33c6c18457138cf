import type { HangsOn } from '../judgement.ts'
import { decideTexts as t } from './fix-texts.ts'

/** What there is to do where no change serves everything that a title may be, and what deciding would bring. */
export function decideWords({ kind, cleanIf, trial }: HangsOn): string {
  if (kind === 'not-described') return t.describe
  if (kind === 'budget') return t.simplify
  return trial === null ? t.decide({ clean: cleanIf }) : t.decideBy({ clean: cleanIf, trial: trial.sentence })
}
