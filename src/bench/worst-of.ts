import { VERDICTS } from './judgement.ts'
import type { Judgement, Verdict } from './judgement.ts'

type Judged = Pick<Judgement, 'verdict'>

/** How bad a verdict is: 0 for clean, more for worse. */
export const badness = ({ verdict }: Judged): number => VERDICTS.indexOf(verdict)

/** The worst verdict of several; clean where there are none. */
export const worstOf = (judgements: readonly Judged[]): Verdict =>
  VERDICTS.findLast((verdict) => judgements.some((one) => one.verdict === verdict)) ?? 'clean'
