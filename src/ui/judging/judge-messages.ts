import { judge } from '../../bench/judge.ts'
import type { JudgeOptions } from '../../bench/judgement.ts'
import type { Judgement } from '../../bench/judgement.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'

/** What a worker is asked: it keeps titles by id, so that an edit of the profile sends the profile only. */
export interface JudgeRequest {
  readonly profile: Profile
  readonly options: JudgeOptions
  /** All titles to judge, in order. */
  readonly ids: readonly string[]
  /** Those that the worker does not have yet, or not in this version. */
  readonly titles: readonly { readonly id: string; readonly document: Title }[]
}

export interface JudgeProgress {
  readonly kind: 'judging'
}

export type JudgeAnswer = readonly (readonly [id: string, judgement: Judgement])[]

/**
 * What a worker does, wherever it runs.
 *
 * @yields after each judgement, with nothing to tell
 */
export function answering(): (request: JudgeRequest) => Generator<JudgeProgress, JudgeAnswer> {
  const kept = new Map<string, Title>()
  return function* ({ profile, options, ids, titles }) {
    for (const { id, document } of titles) kept.set(id, document)
    const judged: [id: string, judgement: Judgement][] = []
    for (const id of ids) {
      const title = kept.get(id)
      if (title) judged.push([id, judge(profile, title, options)])
      yield { kind: 'judging' }
    }
    return judged
  }
}

/** The one of this worker, which keeps its titles from question to question. */
export const answerJudge = answering()
