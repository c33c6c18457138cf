import { sameJson } from '../../document/same-json.ts'
import type { StepsOfWork } from '../../port/steps-of-work.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import { judge } from '../judge.ts'
import type { Judgement, JudgeOptions } from '../judgement.ts'
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
  /** Of the profile in front of the title as it is found. */
  readonly judgement: Judgement
}

type Asked = Pick<ProbeQuestion, 'present' | 'title'> & Pick<JudgeOptions, 'adapter'>

/** What explores a title for one question has most of the next one. */
let last: { readonly asked: Asked; readonly probing: Probing } | null = null

function probingOf(asked: Asked): Probing {
  if (last === null || !sameJson(last.asked, asked))
    last = { asked, probing: new Probing(asked.present, asked.title, asked.adapter) }
  return last.probing
}

/** Weighs the answers, judges what they leave, and looks for what to ask next. */
export function* answerProbe({
  title,
  present,
  profile,
  options,
  answers,
}: ProbeQuestion): StepsOfWork<ProbeProgress, ProbeAnswer> {
  yield { kind: 'weighing' }
  const probing = probingOf({ present, title, adapter: options.adapter })
  const left = probing.left(answers)
  yield { kind: 'weighing' }
  const found = probing.found(answers)
  const judgement = judge(profile, found, options)
  const next = yield* probing.findingNext(answers)
  return { next, found, ...toldBy(title, left), against: left.against, judgement }
}
