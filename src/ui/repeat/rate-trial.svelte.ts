import type { CabledAdapter } from '../../bench/judgement.ts'
import { tryingRates } from '../../bench/repeat/aliases.ts'
import type { RepeatSeen } from '../../bench/repeat/seen.ts'
import type { Input } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import { sameJson } from '../../document/same-json.ts'
import type { Title } from '../../title/schema.ts'

export interface RateQuestion {
  readonly profile: Profile
  readonly title: Title
  readonly adapter: CabledAdapter
  readonly input: Input
}

/** So long the page is kept busy at a time. */
const SLICE_MS = 12

/**
 * The rates up to 8 reads, tried in slices: a title of many reads takes a second over them. They hang on everything but the rate that is
 * set, so that setting another one keeps them. To be made while a component is set up.
 */
export class RateTrial {
  #tried: { readonly question: RateQuestion; readonly grid: readonly RepeatSeen[] } | null = $state.raw(null)
  readonly #question: () => RateQuestion | null

  /** `null` while they are being tried, and where the title does not look at the input. */
  readonly grid: readonly RepeatSeen[] | null = $derived.by(() => {
    const question = this.#question()
    return question && this.#tried && isSame(this.#tried.question, question) ? this.#tried.grid : null
  })

  constructor(question: () => RateQuestion | null) {
    this.#question = question
    $effect(() => {
      const asked = question()
      if (asked === null || this.grid !== null) return
      let timer: ReturnType<typeof setTimeout> | undefined
      const { profile, title, adapter, input } = asked
      const steps = tryingRates(profile, title, adapter, input)
      const go = () => {
        const untilMs = performance.now() + SLICE_MS
        for (;;) {
          const step = steps.next()
          if (step.done) {
            this.#tried = step.value.ok ? { question: asked, grid: step.value.value } : null
            return
          }
          if (performance.now() >= untilMs) break
        }
        timer = setTimeout(go)
      }
      timer = setTimeout(go)
      return () => clearTimeout(timer)
    })
  }
}

const isSame = (p: RateQuestion, q: RateQuestion): boolean =>
  p.title === q.title &&
  p.input === q.input &&
  // An adapter that is connected states its figures anew, and they may be the same.
  sameJson(p.adapter, q.adapter) &&
  sameJson(withoutRate(p), withoutRate(q))

function withoutRate({ profile, input }: RateQuestion): Profile {
  const { [input]: _rate, ...repeat } = profile.repeat
  return { ...profile, repeat }
}
