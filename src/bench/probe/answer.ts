import type { StepsOfWork } from '../../port/steps-of-work.ts'
import type { Profile } from '../../profile/schema.ts'
import { phaseBits } from '../../profile/sweep.ts'
import type { Title } from '../../title/schema.ts'
import { judge } from '../judge.ts'
import type { CabledAdapter, Judgement, JudgeOptions } from '../judgement.ts'
import { lateQuestionAt, nextLateQuestion, timedBy } from './late-replies.ts'
import type { CountFault, Counted, LateQuestion } from './late-replies.ts'
import type { ProbesTried } from './next-question.ts'
import { Probing } from './probing.ts'
import type { Next } from './probing.ts'
import type { Answer } from './suspects.ts'
import { toldBy } from './told.ts'
import type { Told } from './told.ts'

/** What is asked: how a title stands after some answers, and what to ask next. */
export interface ProbeQuestion {
  /** As it was before the first answer. */
  readonly title: Title
  /** The profile whose mapping the probe profiles have. */
  readonly present: Profile
  /** The profile to be judged. */
  readonly profile: Profile
  readonly options: JudgeOptions
  readonly answers: readonly Answer[]
  /** What was counted in front of late replies, in the order in which it was asked. */
  readonly counted: readonly LateAnswer[]
}

export interface LateAnswer {
  readonly question: LateQuestion
  readonly counts: readonly Counted[]
}

export type ProbeProgress = { readonly kind: 'weighing' } | ProbesTried

export interface ProbeAnswer {
  readonly next: Next
  /** The title as the answers leave it. */
  readonly found: Title
  readonly told: readonly Told[]
  readonly open: readonly Told[]
  /** Answers that do not go with what the others say, by their place. */
  readonly against: readonly number[]
  /** What late replies would tell next, once nothing else is asked; `null` where they decide nothing. */
  readonly late: LateQuestion | null
  /** Why the last counts tell nothing; `null` where they do. */
  readonly countFault: CountFault | null
  /** Of the profile in front of the title as it is found. */
  readonly judgement: Judgement
}

/** What was explored for one question is most of what the next one takes. A question comes as a clone, so that it is told by what it says. */
let last: { readonly key: string; readonly probing: Probing } | null = null

function probingOf({ present, title, options: { adapter } }: ProbeQuestion): Probing {
  const key = JSON.stringify([present, title, adapter])
  if (last?.key !== key) last = { key, probing: new Probing(present, title, adapter) }
  return last.probing
}

/** Weighs the answers, judges what they leave, and looks for what to ask next. */
export function* answerProbe(question: ProbeQuestion): StepsOfWork<ProbeProgress, ProbeAnswer> {
  const { title, profile, options, answers } = question
  yield { kind: 'weighing' }
  const probing = probingOf(question)
  const left = probing.left(answers)
  yield { kind: 'weighing' }
  const { title: found, countFault } = timed(probing.found(answers), question.counted, options.adapter)
  const judgement = judge(profile, found, options)
  const next = yield* probing.findingNext(answers)
  const isTold = next.kind === 'done' && next.why === 'told'
  const { adapter, marginNs } = options
  if (isTold) yield { kind: 'weighing' }
  const late = isTold ? nextLateQuestion(found, profile, adapter, marginNs) : null
  return { next, found, ...toldBy(title, left), against: left.against, late, countFault, judgement }
}

/** Counts that tell nothing leave the title as it was; so do those of a sample that other answers have made another one since. */
function timed(
  title: Title,
  counted: readonly LateAnswer[],
  adapter: CabledAdapter,
): { readonly title: Title; readonly countFault: CountFault | null } {
  let now = title
  let countFault: CountFault | null = null
  for (const { question, counts } of counted) {
    const asked = lateQuestionAt(now, question.at, question.pin, question.profile, adapter)
    if (asked?.input !== question.input) continue
    if (phaseBits(asked.sweep.phases) !== phaseBits(question.sweep.phases)) continue
    const next = timedBy(now, question, counts)
    countFault = next.ok ? null : next.error
    if (next.ok) now = next.value
  }
  return { title: now, countFault }
}
