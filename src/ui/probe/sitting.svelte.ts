import type { Answer, Question } from '../../bench/probe/suspects.ts'
import type { LateAnswer, ProbeAnswer, ProbeQuestion } from '../../bench/probe/answer.ts'
import type { Counted, LateQuestion } from '../../bench/probe/late-replies.ts'
import { sameJson } from '../../document/same-json.ts'
import type { InputMask } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import type { TitleEntry } from '../../shelf/entry.ts'
import type { Title } from '../../title/schema.ts'
import type { Workbench } from '../workbench.svelte.ts'
import { Errand } from '../worker/errand.svelte.ts'
import type { WorkFault } from '../worker/messages.ts'
import { newBridge } from '../worker/start-worker.ts'
import { probeIds, probeNumber } from './probe-number.ts'
import { t } from './probe-texts.ts'

type Desk = Pick<Workbench, 'shelf' | 'judgeOptions' | 'notices'>

/** What the player does next. */
export type Stage =
  | { readonly kind: 'working' }
  | { readonly kind: 'called-off' }
  | { readonly kind: 'failed'; readonly fault: WorkFault }
  /** Puts the probe of a question into the adapter, or answers it; `at` is the place of an answer that is given again. */
  | { readonly kind: 'put' | 'ask'; readonly question: Question; readonly at: number | null }
  /** The same with late replies, which are counted. */
  | { readonly kind: 'put-late' | 'count'; readonly late: LateQuestion }
  | { readonly kind: 'over'; readonly why: 'told' | 'timing' | 'nothing-seen' | 'stopped' | 'no-question' }

/** How the title on the shelf stands to the one that the questions are about. */
type Standing = 'same' | 'kept' | 'changed' | 'gone'

/** The questions about one title, with the answers given so far. It outlasts the sheet that shows it. */
export class Sitting {
  readonly titleId: string
  readonly errand: Errand<'probe'>
  readonly #desk: Desk
  /** The mapping of the probes stays the same whatever is opened meanwhile. */
  readonly #present: Profile
  #title: Title = $state.raw() as Title
  /** What was written to the shelf last, and what of the worker’s it was. */
  #kept = $state.raw<{ readonly found: Title; readonly document: Title } | null>(null)
  #asked = $state.raw<ProbeQuestion | null>(null)
  #isStopped = $state.raw(false)
  /** The answer that is given again, by its place. */
  #at = $state.raw<number | null>(null)
  answers = $state.raw<readonly Answer[]>([])
  counted = $state.raw<readonly LateAnswer[]>([])
  #timing = $state.raw<'no' | 'put-late' | 'count'>('no')
  /** Id of the probe that the title runs with, as far as the player says so. */
  #running = $state.raw<string | null>(null)
  #isPutting = $state.raw(false)

  constructor(desk: Desk, { id, document }: Pick<TitleEntry, 'id' | 'document'>, bridge = newBridge()) {
    this.#desk = desk
    this.titleId = id
    this.#title = document
    this.#present = desk.shelf.open.document
    this.errand = new Errand('probe', bridge)
  }

  /** As it was before the first question. */
  get title(): Title {
    return this.#title
  }

  readonly #question: ProbeQuestion = $derived.by(() => ({
    title: this.#title,
    present: this.#present,
    profile: this.#desk.shelf.open.document,
    options: this.#desk.judgeOptions,
    answers: this.answers,
    counted: this.counted,
  }))

  /** What is known; that of an answer before while the next one is worked out. */
  readonly known: ProbeAnswer | null = $derived.by(() => this.errand.last?.answer ?? null)

  readonly isWorking: boolean = $derived.by(() => this.errand.state === 'running')

  readonly stage: Stage = $derived.by(() => this.#stageNow())

  #stageNow(): Stage {
    const { fault, last, state, isSlow } = this.errand
    if (fault) return { kind: 'failed', fault }
    const given = this.#at === null ? undefined : this.answers[this.#at]
    if (given) return { kind: this.#isPutting ? 'put' : 'ask', question: given.question, at: this.#at }
    if (last === null || isSlow)
      return state === 'idle' && last === null ? { kind: 'called-off' } : { kind: 'working' }
    if (state === 'idle' && last.question !== this.#asked) return { kind: 'called-off' }
    if (this.#isStopped) return { kind: 'over', why: 'stopped' }
    const { next, late } = last.answer
    if (next.kind === 'done' && late && this.#timing !== 'no') return { kind: this.#timing, late }
    if (next.kind === 'done') {
      const isAsked = last.question.answers.length > 0 || this.counted.length > 0
      return { kind: 'over', why: isAsked ? next.why : late ? 'timing' : 'no-question' }
    }
    const { question } = next
    const runs = question.probe.id === this.#running && !this.#isPutting
    return { kind: runs ? 'ask' : 'put', question, at: null }
  }

  /** Something that is another one with every step, for what begins with it. */
  readonly step: string = $derived.by(() => {
    const { stage } = this
    const question =
      'question' in stage ? [stage.question.probe.id, stage.question.mode, stage.question.held] : []
    const n = 'at' in stage ? this.numberOf(stage.at) : ''
    const late = 'late' in stage ? [this.counted.length, stage.late.sweep.firstNs] : []
    return [stage.kind, n, ...question, ...late].join(' ')
  })

  /** Which question it is, from 1. */
  numberOf(at: number | null): number {
    return 1 + (at ?? this.errand.last?.question.answers.length ?? 0)
  }

  probeNumber(question: Question): number {
    return probeNumber(this.answers, question)
  }

  /** Which probe the one with late replies is, from 1. */
  get lateNumber(): number {
    return probeIds(this.answers).length + this.counted.length + 1
  }

  isRunning({ probe }: Question): boolean {
    return probe.id === this.#running
  }

  /** The name of the mode that a question is about; `null` where there is one only. */
  modeOf({ mode }: Pick<Question, 'mode'>): string | null {
    return this.#title.modes.length > 1 ? (this.#title.modes[mode]?.name ?? null) : null
  }

  /** Asks, unless it is what was asked last. */
  ask(): void {
    const same = this.#asked !== null && sameQuestion(this.#asked, this.#question)
    if (!same) this.again()
  }

  /** The same once more, after it was called off or failed. */
  again(): void {
    const question = this.#question
    this.#asked = question
    this.errand.ask(question)
  }

  /** The sheet goes; what is being worked out goes with it, and is asked again when it comes back. */
  rest(): void {
    if (this.isWorking) this.#asked = null
    this.errand.end()
  }

  /** The title runs with the probe of this question. */
  runs({ probe }: Question): void {
    this.#running = probe.id
    this.#isPutting = false
  }

  /** Its probe is to be put in once more: the adapter has lost it, or has another one. */
  putAgain(): void {
    this.#isPutting = true
  }

  /** @param acts what was seen; `null` for not sure */
  answer(acts: InputMask | null): void {
    const { stage } = this
    if (stage.kind !== 'ask' || this.isWorking) return
    const given: Answer = { question: stage.question, acts }
    this.answers = stage.at === null ? [...this.answers, given] : this.answers.with(stage.at, given)
    this.#at = null
    this.ask()
  }

  /** What late replies would tell is asked for. */
  beginTiming(): void {
    this.#timing = 'put-late'
  }

  /** The title runs with them. */
  runsLate(): void {
    this.#timing = 'count'
  }

  /** What the counts have left of the time of the sample that was timed last, in ns from its edge; `null` where nothing was timed. */
  readonly timed: { readonly minNs: number; readonly maxNs: number; readonly counts: number } | null =
    $derived.by(() => {
      const at = this.counted.at(-1)?.question.at
      const step = at && this.known?.found.modes[at.mode]?.reads[at.read]?.steps[at.step]
      if (!step || 'repeat' in step || step.after.source?.kind !== 'found') return null
      return { minNs: step.after.minNs, maxNs: step.after.maxNs, counts: step.after.source.trials }
    })

  endTiming(): void {
    this.#timing = 'no'
  }

  count(counts: readonly Counted[]): void {
    const { stage } = this
    if (stage.kind !== 'count' || this.isWorking) return
    this.counted = [...this.counted, { question: stage.late, counts }]
    this.#running = null
    this.#timing = 'no'
    this.ask()
  }

  get canGoBack(): boolean {
    return (this.#at ?? this.answers.length) > 0
  }

  back(): void {
    if (this.canGoBack) this.backTo((this.#at ?? this.answers.length) - 1)
  }

  /** To an answer that was given, by its place. */
  backTo(at: number): void {
    this.#isStopped = false
    this.#isPutting = false
    this.#timing = 'no'
    this.#at = at
  }

  /** Leaves an answer as it is. */
  onwards(): void {
    this.#at = null
    this.#isPutting = false
  }

  stop(): void {
    this.#at = null
    this.#isStopped = true
  }

  askOn(): void {
    this.#isStopped = false
  }

  readonly #now: Title | null = $derived.by(
    () => this.#desk.shelf.titles.find(({ id }) => id === this.titleId)?.document ?? null,
  )

  readonly standing: Standing = $derived.by(() => {
    if (this.#now === null) return 'gone'
    const isKept = this.#kept !== null && sameJson(this.#now, this.#kept.document)
    if (isKept && sameJson(this.known?.found, this.#kept?.found)) return 'kept'
    const isOurs = isKept || sameJson(this.#now, this.#title)
    return isOurs ? 'same' : 'changed'
  })

  /** Writes what was found to the shelf, as one step for undo. */
  keep(): void {
    const { known, standing } = this
    const { shelf, notices } = this.#desk
    if (known === null || standing === 'changed' || this.isWorking) return
    const { name } = this.#title
    const step = t.keepStep({ title: name })
    if (standing === 'gone') {
      const added = shelf.addTitle(step, known.found)
      if (!added.ok) return notices.warn(added.error)
    } else {
      const kept = shelf.editTitle(this.titleId, step, () => known.found)
      if (!kept.ok) return notices.warn(kept.error.message)
      this.#kept = { found: known.found, document: kept.value }
    }
    notices.say(t.kept({ title: name }))
  }

  /** Begins again with the title as it is now. Answers stay unless what they told is in it already, or they tell nothing. */
  begin(): void {
    const { stage } = this
    const tellsNothing = stage.kind === 'over' && stage.why === 'nothing-seen'
    if (this.#kept !== null || tellsNothing) this.answers = []
    this.#title = this.#now ?? this.#title
    this.counted = []
    this.#timing = 'no'
    this.#kept = null
    this.#at = null
    this.#isStopped = false
    this.ask()
  }
}

/** A newly connected adapter states its figures again, and they can be the same. */
const sameQuestion = (p: ProbeQuestion, q: ProbeQuestion): boolean =>
  p.title === q.title &&
  p.profile === q.profile &&
  p.answers === q.answers &&
  p.counted === q.counted &&
  sameJson(p.options, q.options)
