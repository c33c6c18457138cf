import { SvelteSet } from 'svelte/reactivity'
import { kindsOf, tryFirst } from '../../bench/symptoms.ts'
import type { Explanation, SymptomQuestion } from '../../bench/symptoms.ts'
import { settingWords } from '../../bench/symptoms/act-words.ts'
import { SYMPTOM_NAMES } from '../../bench/symptoms/symptoms.ts'
import type { Symptom } from '../../bench/symptoms/symptoms.ts'
import type { TrialAct } from '../../bench/symptoms/trials.ts'
import type { Workbench } from '../workbench.svelte.ts'
import { Errand } from '../worker/errand.svelte.ts'
import { newBridge } from '../worker/start-worker.ts'
import { sourcesFrom } from './sources.ts'
import type { Source } from './sources.ts'
import { t } from './symptom-texts.ts'
import { followTrials } from './follow-trials.ts'

/** A question with the card of the profile that it is about. */
interface Asked extends SymptomQuestion {
  readonly presentId: string
  readonly sources: readonly Source[]
}

type Desk = Pick<Workbench, 'shelf' | 'judgeOptions' | 'editProfile' | 'notices'>

/** From what somebody saw to what is behind it: what was ticked, the answer, and how far the trials have come. */
export class Inquiry {
  readonly #workbench: Desk
  readonly errand: Errand<'symptom'>
  readonly saw = new SvelteSet<Symptom>()
  #asked = $state.raw<Asked | null>(null)
  #seen = $state.raw<readonly string[]>([])

  constructor(workbench: Desk, bridge = newBridge()) {
    this.#workbench = workbench
    this.errand = new Errand('symptom', bridge)
  }

  readonly #answer: Explanation | null = $derived.by(() => this.errand.last?.answer ?? null)

  /** The profile that the answer is about: an edit, or a remedy that was applied, must not turn the trials round. */
  readonly present = $derived.by(() => this.#asked?.present ?? this.#workbench.shelf.open.document)
  readonly isAboutOpen: boolean = $derived.by(() => this.#workbench.shelf.open.document === this.present)

  readonly isAnswered: boolean = $derived(this.#answer !== null)
  readonly unexplained: readonly Symptom[] = $derived(this.#answer?.unexplained ?? [])
  readonly trail = $derived.by(() => followTrials(this.#answer?.trial ?? null, this.#seen))

  /** What may still be behind it, likeliest first. */
  readonly causes = $derived.by(() => {
    const { left } = this.trail
    return (this.#answer?.causes ?? []).filter(({ pattern }) => left === null || left.includes(pattern))
  })
  readonly kinds = $derived(kindsOf(this.causes))
  readonly tryFirst = $derived.by(() =>
    tryFirst(
      this.#answer?.helping ?? [],
      this.causes.map(({ pattern }) => pattern),
    ),
  )

  tick(symptom: Symptom, isSeen: boolean): void {
    if (isSeen) this.saw.add(symptom)
    else this.saw.delete(symptom)
    this.ask()
  }

  /** Asks anew, about the profile that is open now. */
  ask(): void {
    this.#seen = []
    if (this.saw.size === 0) {
      this.#asked = null
      this.errand.clear()
      return
    }
    const { shelf, judgeOptions } = this.#workbench
    const sources = sourcesFrom(shelf.profiles, shelf.open.id)
    const question: SymptomQuestion = {
      present: shelf.open.document,
      saw: SYMPTOM_NAMES.filter((name) => this.saw.has(name)),
      options: { ...judgeOptions, profiles: sources.map(({ name, profile }) => ({ name, profile })) },
    }
    this.#asked = { ...question, presentId: shelf.open.id, sources }
    this.errand.ask(question)
  }

  /** What was seen in the trial that is next. */
  see(outcome: string): void {
    this.#seen = [...this.trail.taken.map(({ saw }) => saw), outcome]
  }

  /** Takes a trial back, and all that came after it. */
  takeBack(step: number): void {
    this.#seen = this.#seen.slice(0, step)
  }

  /** Carries out what the app can of an act, as one step for undo: another profile is opened, or the one in question set otherwise. */
  apply(act: TrialAct): void {
    if (act.kind === 'profile') this.#open(act.name)
    else if (act.kind === 'setting' && this.#asked) {
      const { shelf, notices } = this.#workbench
      const { presentId } = this.#asked
      if (!shelf.profiles.some(({ id }) => id === presentId)) {
        return notices.warn(t.gone({ profile: this.present.name }))
      }
      shelf.openProfile(presentId)
      const refusal = this.#workbench.editProfile(settingWords(act.set), (profile) => ({
        ...profile,
        ...act.set,
      }))
      if (refusal !== null) notices.warn(refusal)
      else notices.say(t.isSet({ profile: shelf.open.document.name }))
    }
  }

  #open(name: string): void {
    const { shelf, notices } = this.#workbench
    const source = this.#asked?.sources.find((one) => one.name === name)
    if (!source) return
    if (source.id !== null && shelf.profiles.some(({ id }) => id === source.id)) shelf.openProfile(source.id)
    else {
      const added = shelf.addProfile(t.profileStep({ name }), source.profile)
      if (!added.ok) return notices.warn(added.error)
    }
    notices.say(t.isOpen({ profile: source.profile.name }))
  }
}
