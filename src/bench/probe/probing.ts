import { workToEnd } from '../../port/steps-of-work.ts'
import type { StepsOfWork } from '../../port/steps-of-work.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { CabledAdapter } from '../judgement.ts'
import { narrowed } from './narrowed.ts'
import { askedModes, nextProbe, nextQuestion, pageOf } from './next-question.ts'
import type { ProbesTried } from './next-question.ts'
import { probesFor } from './probe-profiles.ts'
import type { Probe } from './probe-profiles.ts'
import { resetTimes } from './reset-times.ts'
import { Suspects } from './suspects.ts'
import type { Answer, Question } from './suspects.ts'
import { showsNothing, whatIsLeft } from './weighing.ts'
import type { Left } from './weighing.ts'

/**
 * What comes next: another profile into the adapter, with the first question; a question with what is in it; or nothing more is asked, either as no
 * question tells anything more or as nothing was ever seen to act.
 */
export type Next =
  | { readonly kind: 'flash'; readonly question: Question }
  | { readonly kind: 'ask'; readonly question: Question }
  | { readonly kind: 'done'; readonly why: 'told' | 'nothing-seen' }

/** Questions to one probe profile that are answered together. */
export interface Page {
  readonly probe: Probe
  readonly questions: readonly Question[]
}

/** Finds out what a title does by asking what acts in it, question by question. The same answers lead to the same questions. */
export class Probing {
  readonly #suspects: Suspects
  readonly #probes: readonly Probe[]
  readonly #modes: readonly number[]

  readonly #title: Title

  constructor(present: Profile, title: Title, adapter: CabledAdapter) {
    this.#title = title
    this.#suspects = new Suspects(title, adapter)
    this.#modes = askedModes(title)
    this.#probes = probesFor(present, resetTimes(present, title, adapter, this.#modes))
  }

  left(answers: readonly Answer[]): Left {
    return whatIsLeft(this.#suspects, answers)
  }

  /** The title as the answers leave it. */
  found(answers: readonly Answer[]): Title {
    return narrowed(this.#title, this.left(answers))
  }

  /** What to put into the adapter next, with all that is asked then; `null` where nothing more can be told. */
  page(answers: readonly Answer[]): Page | null {
    if (showsNothing(answers)) return null
    const left = this.left(answers)
    const probe = workToEnd(this.#nextProbe(left, []))
    if (probe === null) return null
    const questions = pageOf(this.#suspects, left, probe, this.#modes)
    return questions.length === 0 ? null : { probe, questions }
  }

  /** A probe profile by its id, as a file of answers names it. */
  probe(id: string): Probe | undefined {
    return this.#probes.find((probe) => probe.id === id)
  }

  next(answers: readonly Answer[]): Next {
    return workToEnd(this.findingNext(answers))
  }

  /** The same in steps. */
  *findingNext(answers: readonly Answer[]): StepsOfWork<ProbesTried, Next> {
    if (showsNothing(answers)) return { kind: 'done', why: 'nothing-seen' }
    const left = this.left(answers)
    const inAdapter = answers.at(-1)?.question.probe
    const question = inAdapter && this.#question(left, inAdapter, answers)
    if (question) return { kind: 'ask', question }
    const probe = yield* this.#nextProbe(left, answers)
    const first = probe && this.#question(left, probe, answers)
    return first ? { kind: 'flash', question: first } : { kind: 'done', why: 'told' }
  }

  #question(left: Left, probe: Probe, answers: readonly Answer[]): Question | null {
    return nextQuestion(this.#suspects, left, probe, this.#modes, answers)
  }

  #nextProbe(left: Left, asked: readonly Answer[]): StepsOfWork<ProbesTried, Probe | null> {
    return nextProbe(this.#suspects, left, this.#probes, this.#modes, asked)
  }
}
