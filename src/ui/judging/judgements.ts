import type { JudgeOptions } from '../../bench/judgement.ts'
import type { Judgement } from '../../bench/judgement.ts'
import type { Profile } from '../../profile/schema.ts'
import type { TitleEntry } from '../../shelf/entry.ts'

export interface JudgeInput {
  readonly profile: Profile
  readonly titles: readonly TitleEntry[]
  readonly options: JudgeOptions
}

/** Judgements by title id. */
export type Judgements = ReadonlyMap<string, Judgement>

export const NO_JUDGEMENTS: Judgements = new Map()

/** Two sets of judgements in the order of the titles, as far as there are any; the first one wins. */
export const joined = (titles: readonly TitleEntry[], first: Judgements, second: Judgements): Judgements =>
  new Map(
    titles.flatMap(({ id }) => {
      const judgement = first.get(id) ?? second.get(id)
      return judgement ? [[id, judgement]] : []
    }),
  )
