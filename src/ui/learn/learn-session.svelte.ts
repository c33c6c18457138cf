import { USUAL_STICK } from '../../pad/stick/settings.ts'
import type { ControlMask } from '../../pad/controls.ts'
import type { Layout } from '../../pad/layout/schema.ts'
import type { Ask } from '../../pad/learn/controls-to-ask.ts'
import { Learner } from '../../pad/learn/learner.ts'
import type { LearnView } from '../../pad/learn/learner.ts'
import { carries, placeValue } from '../../pad/learn/places.ts'
import type { ReportPlace } from '../../pad/learn/places.ts'
import { LiveReader } from '../pad/live-reader.ts'
import type { PadSource } from './pad-source.ts'

/** What is drawn again when it changes. */
const sameView = (a: LearnView, b: LearnView): boolean =>
  a.phase === b.phase &&
  a.silent === b.silent &&
  a.ask === b.ask &&
  a.step === b.step &&
  a.seen === b.seen &&
  a.turns === b.turns &&
  a.takenBy === b.takenBy &&
  a.besides === b.besides &&
  a.long === b.long &&
  a.aside.length === b.aside.length &&
  a.asked === b.asked &&
  a.answers.length === b.answers.length

/** The clock and the frames of the browser. */
export interface Pace {
  readonly nowMs: () => number
  /** Calls back before the next frame; gives what calls that off. */
  readonly nextFrame: (work: () => void) => () => void
}

const BROWSER_PACE: Pace = {
  nowMs: () => performance.now(),
  nextFrame: (work) => {
    const frame = requestAnimationFrame(work)
    return () => cancelAnimationFrame(frame)
  },
}

/** A pad in the user's hands while it is learned: brings its reports to the learner, and what the learner says to the screen. */
export class LearnSession {
  readonly source: PadSource
  readonly #pace: Pace
  #learner: Learner
  #callOff: (() => void) | null = null
  #running = false
  /** The last report of each number. */
  readonly #latest: (Uint8Array | undefined)[] = []
  #trial: LiveReader | null = null

  view: LearnView = $state.raw({
    phase: 'rest',
    silent: false,
    ask: null,
    step: 'let-go',
    seen: null,
    besides: null,
    long: false,
    turns: 0,
    takenBy: null,
    asked: 0,
    of: 0,
    answers: [],
    aside: [],
  })
  /** The pad is plugged in, as far as the browser tells. */
  isHere = $state.raw(false)
  fault = $state.raw('')
  /** Goes up with every frame in which the pad said something. */
  beat = $state.raw(0)
  #heard = false
  /** What the layout on trial holds now. */
  held = $state.raw<ControlMask>(0)

  constructor(source: PadSource, pace: Pace = BROWSER_PACE) {
    this.source = source
    this.#pace = pace
    this.#learner = new Learner(this.#places, pace.nowMs())
    this.view = this.#learner.view
  }

  get learner(): Learner {
    return this.#learner
  }

  get #places(): readonly ReportPlace[] {
    return this.source.places.map(({ place }) => place)
  }

  /** Begins to listen to the pad. */
  async start(): Promise<void> {
    if (this.#running) return
    this.#running = true
    this.isHere = true
    this.#nextFrame()
    this.fault =
      (await this.source.start({
        report: (number, data) => this.#report(number, data),
        here: (isHere) => this.#here(isHere),
      })) ?? ''
    if (this.fault !== '') this.#here(false)
  }

  async stop(): Promise<void> {
    if (!this.#running) return
    this.#running = false
    this.#callOff?.()
    this.held = 0
    this.#learner.gone(this.#pace.nowMs())
    this.#show()
    await this.source.stop()
  }

  /** Asks for all controls anew, or for some. */
  learn(asks?: readonly Ask[]): void {
    this.#learner = new Learner(this.#places, this.#pace.nowMs(), asks)
    this.#show()
  }

  readonly skip = () => this.#then((learner, nowMs) => learner.skip(nowMs))
  readonly back = () => this.#then((learner, nowMs) => learner.back(nowMs))
  readonly again = () => this.#then((learner, nowMs) => learner.again(nowMs))
  readonly take = () => this.#then((learner, nowMs) => learner.take(nowMs))
  readonly finish = () => this.#then((learner, nowMs) => learner.finish(nowMs))
  readonly restAgain = () => this.#then((learner, nowMs) => learner.restAgain(nowMs))

  /** The pad is back but the browser has forgotten it: it is chosen anew. */
  async chooseAgain(): Promise<void> {
    this.fault = (await this.source.chooseAgain?.()) ?? ''
  }

  /** Shows in {@link held} what a layout makes of the reports. */
  try(layout: Pick<Layout, 'extractors'> | null): void {
    this.#trial = layout && new LiveReader(layout, { left: USUAL_STICK, right: USUAL_STICK })
    this.held = 0
    this.#latest.forEach((data, number) => data && this.#tryOut(number, data))
  }

  /** The value of a place in the last report that has it. */
  valueOf(place: ReportPlace): number | null {
    const data = this.#latest[place.field.report]
    return data && carries(place, data) ? placeValue(place, data) : null
  }

  #then(act: (learner: Learner, nowMs: number) => void): void {
    act(this.#learner, this.#pace.nowMs())
    this.#show()
  }

  #report(number: number, data: Uint8Array): void {
    this.#latest[number] = data
    this.#heard = true
    this.#tryOut(number, data)
    this.#learner.report(number, data, this.#pace.nowMs())
  }

  #tryOut(number: number, data: Uint8Array): void {
    if (this.#trial) this.held = this.#trial.report(number, data).held
  }

  #here(isHere: boolean): void {
    this.isHere = isHere
    if (!isHere) {
      this.held = 0
      this.#learner.gone(this.#pace.nowMs())
    }
    this.#show()
  }

  #nextFrame(): void {
    this.#callOff = this.#pace.nextFrame(() => {
      if (!this.#running) return
      this.#learner.tick(this.#pace.nowMs())
      this.#show()
      if (this.#heard) this.beat++
      this.#heard = false
      this.#nextFrame()
    })
  }

  #show(): void {
    const view = this.#learner.view
    if (!sameView(view, this.view)) this.view = view
  }
}
