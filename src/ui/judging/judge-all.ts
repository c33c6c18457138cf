import { judge } from '../../bench/judge.ts'
import type { JudgeOptions } from '../../bench/judgement.ts'
import type { Judgement } from '../../bench/judgement.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { JudgeInput, Judgements } from './judgements.ts'

/** Judges titles on the spot and remembers the last judgement of each, so that an edit of one title judges one. */
export class Judge {
  #known = new WeakMap<Title, { profile: Profile; options: JudgeOptions; judgement: Judgement }>()

  all(input: JudgeInput): Judgements {
    return new Map(input.titles.map(({ id, document }) => [id, this.#one(input, document)]))
  }

  #one({ profile, options }: JudgeInput, title: Title): Judgement {
    const known = this.#known.get(title)
    if (known?.profile === profile && known.options === options) return known.judgement
    const judgement = judge(profile, title, options)
    this.#known.set(title, { profile, options, judgement })
    return judgement
  }
}
