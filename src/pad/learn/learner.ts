import { ASKS } from './controls-to-ask.ts'
import type { StickSide } from '../hold.ts'
import type { Ask } from './controls-to-ask.ts'
import { LONG_ENOUGH_MS, decide, sameAxis, sameSpot } from './decide.ts'
import type { PressOutcome } from './decide.ts'
import { carries } from './places.ts'
import type { ReportPlace } from './places.ts'
import { Roll, TURNS_WANTED } from './roll.ts'
import type { Reach } from './roll.ts'
import { Watch } from './watch.ts'
import type { Aside } from './watch.ts'

/**
 * Learns a pad by watching it: first at rest, then while its user does one thing after another. There is no clock in here:
 * whoever has the pad says when each report came, and what time it is while none comes.
 */

/** How long the pad is watched at rest. */
export const REST_MS = 1000
/** A pad that sends all the time is watched for so many reports, or for so long. */
const REST_REPORTS = 60
const SLOW_REST_MS = 2500
/** What lasts for fewer reports than this is noise. */
const FEW_REPORTS = 3
/** And what lasts for so long is a press, however slow the reports. */
const MOST_ENOUGH_MS = 120
/** Nothing moved for so long: the next press may come. */
const QUIET_MS = 120
/** What is still away so long after what was meant came back does not come back. */
const STUCK_MS = 1500
/** How often to look whether what was meant is back. */
const LEADER_LOOK_MS = 50
/** So long nobody holds a button that is only to be pressed. */
const LONG_MS = 4000
/** A rest in which a button was pressed is taken again, so often at most: some bits never rest. */
const MOST_RESTS = 4
/** A pad that sends all the time and is silent for so long has gone; or for so many of its longest gaps. */
const LOST_MS = 1000
const LOST_GAPS = 20
/** It sends all the time, if so many reports came while it rested. */
const TALKATIVE = 20

/** What was found for an ask. */
export interface Answer {
  readonly ask: Ask
  /** Of a press or a push. */
  readonly finding: PressOutcome | null
  /** Of a roll: how far x and y came. */
  readonly reach: readonly [Reach, Reach] | null
  /** Taken although another ask has the same place. */
  readonly sharedWith: Ask | null
}

/** Where a stick's axis stood at rest, each time that it was let go. */
export interface Rests {
  readonly stick: StickSide
  readonly axis: 'x' | 'y'
  readonly values: readonly number[]
}

/** What learning came to. */
export interface Learned {
  readonly answers: readonly Answer[]
  /** Of each axis of a stick that was found. */
  readonly rests: readonly Rests[]
  readonly aside: readonly { readonly place: ReportPlace; readonly why: Aside }[]
}

export type LearnStep =
  /** Waits for everything to be let go. */
  | 'let-go'
  /** Waits for what was asked. */
  | 'waiting'
  /** Something is pressed. */
  | 'pressed'
  /** What was pressed is already taken: `take` or `skip`, or another one is pressed. */
  | 'taken'
  /** Two were pressed at once. Waits for one of them, or for both once more: then they are one. */
  | 'two'

export interface LearnView {
  readonly phase: 'rest' | 'ask' | 'lost' | 'done'
  /** While it rests: no report came so far. The user presses any button once and lets go. */
  readonly silent: boolean
  readonly ask: Ask | null
  readonly step: LearnStep
  /** What seems to be pressed. */
  readonly seen: ReportPlace | null
  /** What moved along with it, where that leaves in doubt which was meant. */
  readonly besides: ReportPlace | null
  /** It is held for so long that it may never have been pressed: it was held while the rest was taken. */
  readonly long: boolean
  /** How often a stick was rolled round. */
  readonly turns: number
  /** Who has the place that was pressed. */
  readonly takenBy: Ask | null
  readonly asked: number
  readonly of: number
  readonly answers: readonly Answer[]
  /** Places that are not looked at. */
  readonly aside: readonly ReportPlace[]
}

export class Learner {
  readonly #asks: readonly Ask[]
  readonly #watches: readonly Watch[]
  #phase: LearnView['phase'] = 'rest'
  #lostFrom: 'rest' | 'ask' = 'rest'
  /** It was taken for lost while it only had nothing to say. */
  #fallsSilent = false
  #lostBySilence = false
  #step: LearnStep = 'let-go'
  #index = 0
  readonly #answers: (Answer | undefined)[] = []
  #taken: { readonly finding: PressOutcome; readonly by: Ask } | null = null
  /** Of two at once. */
  #two: PressOutcome | null = null
  #roll: Roll | null = null
  readonly #rests = new Map<Watch, number[]>()

  #nowMs: number
  #restFromMs: number
  /** Since when what is rested is measured; `null` before the first report. */
  #firstMs: number | null = null
  #restStarted = false
  #restsTaken = 0
  #reports = 0
  #longestGapMs = 0
  #lastReportMs: number
  #quietSinceMs: number
  #pressedSinceMs = 0
  #leaderBackMs: number | null = null
  #leaderLookMs = 0
  #leader: ReportPlace | null = null

  constructor(places: readonly ReportPlace[], nowMs: number, asks: readonly Ask[] = ASKS) {
    this.#asks = asks
    this.#watches = places.map((place) => new Watch(place))
    this.#nowMs = this.#restFromMs = this.#lastReportMs = this.#quietSinceMs = nowMs
  }

  get view(): LearnView {
    const ask = this.#ask
    return {
      phase: this.#phase,
      silent: this.#phase === 'rest' && this.#firstMs === null && this.#nowMs - this.#restFromMs >= REST_MS,
      ask: this.#phase === 'ask' || this.#phase === 'lost' ? (ask ?? null) : null,
      step: this.#step,
      seen: this.#seen,
      besides: this.#step === 'two' ? (this.#two?.rival ?? null) : null,
      long: this.#step === 'pressed' && this.#roll === null && this.#nowMs - this.#pressedSinceMs >= LONG_MS,
      turns: this.#roll?.turns ?? 0,
      takenBy: this.#taken?.by ?? null,
      asked: this.#index,
      of: this.#asks.length,
      answers: this.answers,
      aside: this.#watches.flatMap(({ aside, place }) => (aside === null ? [] : [place])),
    }
  }

  get #seen(): ReportPlace | null {
    switch (this.#step) {
      case 'taken':
        return this.#taken?.finding.place ?? null
      case 'two':
        return this.#two?.place ?? null
      case 'pressed':
        return this.#leader
      default:
        return null
    }
  }

  get answers(): readonly Answer[] {
    return this.#answers.filter((answer) => answer !== undefined)
  }

  get #ask(): Ask | undefined {
    return this.#asks[this.#index]
  }

  /** A report came; number (0 for none) and data apart. */
  report(number: number, data: Uint8Array, nowMs: number): void {
    if (this.#phase === 'done') return
    if (this.#phase === 'lost') this.#found(nowMs)
    this.#pass(nowMs)
    const resting = this.#phase === 'rest'
    if (resting) this.#beforeRestReport()
    for (const watch of this.#watches) {
      if (watch.place.field.report === number && carries(watch.place, data)) watch.take(data, resting)
    }
    this.#lastReportMs = nowMs
    if (this.#phase === 'ask') this.#look()
  }

  /** No report came until now. */
  tick(nowMs: number): void {
    if (this.#phase === 'done' || this.#phase === 'lost') return
    this.#pass(nowMs)
    const silentMs = nowMs - this.#lastReportMs
    const gone =
      this.#isTalkative && !this.#fallsSilent && silentMs >= Math.max(LOST_MS, LOST_GAPS * this.#longestGapMs)
    if (gone) {
      this.gone(nowMs)
      this.#lostBySilence = true
    } else if (this.#phase === 'ask') this.#look()
  }

  /** The pad was unplugged. All that was learned stays; the next report goes on. */
  gone(nowMs: number): void {
    this.#lostBySilence = false
    if (this.#phase !== 'rest' && this.#phase !== 'ask') return
    this.#nowMs = nowMs
    this.#lostFrom = this.#phase
    this.#phase = 'lost'
  }

  /** Goes on to the next ask without an answer to this one. */
  skip(nowMs: number): void {
    if (this.#phase !== 'ask') return
    this.#answers[this.#index] = undefined
    this.#next(nowMs)
  }

  /** Goes back to the ask before, and forgets its answer. */
  back(nowMs: number): void {
    if (this.#phase !== 'ask' && this.#phase !== 'done') return
    this.#phase = 'ask'
    do this.#index = Math.max(0, this.#index - 1)
    while (this.#index > 0 && !this.#canAsk())
    this.#startAsk(nowMs)
  }

  /** Begins this ask anew. */
  again(nowMs: number): void {
    if (this.#phase === 'ask') this.#startAsk(nowMs)
  }

  /** Takes the place although another control has it. */
  take(nowMs: number): void {
    const ask = this.#ask
    if (this.#taken === null || ask === undefined) return
    const { finding, by } = this.#taken
    this.#answer({ ask, finding, reach: null, sharedWith: by }, nowMs)
  }

  /** The stick was rolled enough, or all that is wanted is found. */
  finish(nowMs: number): void {
    if (this.#phase !== 'ask') return
    if (this.#roll !== null && this.#roll.turns > 0) this.#rolled(nowMs)
    else this.#phase = 'done'
  }

  /** Takes the rest anew: something was held while it was taken. What was found stays. */
  restAgain(nowMs: number): void {
    this.#restsTaken = 0
    this.#waitForRest(nowMs)
  }

  #waitForRest(nowMs: number): void {
    this.#phase = 'rest'
    this.#nowMs = this.#restFromMs = nowMs
    this.#firstMs = null
    this.#restStarted = false
  }

  /** All that is known so far; see `layout.ts`. */
  get learned(): Learned {
    const rests = this.answers.flatMap(({ ask, finding }) => {
      if (ask.kind !== 'push' || finding === null) return []
      const watch = this.#watches.find(({ place }) => place === finding.place)
      const values = watch === undefined ? [] : (this.#rests.get(watch) ?? [])
      return [{ stick: ask.stick, axis: ask.way === 'up' ? ('y' as const) : ('x' as const), values }]
    })
    const aside = this.#watches.flatMap(({ place, aside: why }) => (why === null ? [] : [{ place, why }]))
    return { answers: this.answers, rests, aside }
  }

  #found(nowMs: number): void {
    this.#fallsSilent ||= this.#lostBySilence
    this.#nowMs = this.#lastReportMs = nowMs
    if (this.#lostFrom === 'rest') this.restAgain(nowMs)
    else {
      this.#phase = 'ask'
      this.#startAsk(nowMs)
    }
  }

  /** Time passes with everything as it was. */
  #pass(nowMs: number): void {
    const ms = Math.max(0, nowMs - this.#nowMs)
    this.#nowMs = Math.max(nowMs, this.#nowMs)
    if (this.#phase === 'rest') this.#passRest()
    else if (this.#phase === 'ask') {
      const following = this.#step !== 'pressed' && this.#step !== 'let-go'
      for (const watch of this.#watches) watch.pass(ms, following)
    }
  }

  /** A pad that was silent was woken by a press: that has to be over before its rest is taken. */
  get #wakingMs(): number {
    return this.#firstMs !== null && this.#firstMs - this.#restFromMs > REST_MS ? REST_MS : 0
  }

  #passRest(): void {
    if (this.#firstMs === null) return
    const restMs = this.#nowMs - this.#firstMs - this.#wakingMs
    if (restMs >= 0 && !this.#restStarted) this.#beginRest()
    if (restMs < REST_MS) return
    // A slow pad shows too little of its noise in a second.
    if (this.#isTalkative && this.#reports < REST_REPORTS && restMs < SLOW_REST_MS) return
    for (const watch of this.#watches) watch.endRest()
    this.#restsTaken++
    if (this.#restsTaken < MOST_RESTS && this.#wasTouched) {
      this.#firstMs = this.#restFromMs = this.#nowMs
      this.#beginRest()
      return
    }
    this.#setBitsAside()
    this.#phase = 'ask'
    this.#startAsk(this.#nowMs)
  }

  /** A button was pressed while everything was to be let go; what a vendor left undescribed may do so by itself. */
  get #wasTouched(): boolean {
    return this.#watches.some(
      ({ aside, discrete, place }) => aside === 'restless' && discrete && !place.kind.startsWith('raw-'),
    )
  }

  #beginRest(): void {
    this.#restStarted = true
    this.#reports = this.#longestGapMs = 0
    for (const watch of this.#watches) watch.beginRest()
  }

  #beforeRestReport(): void {
    this.#firstMs ??= this.#nowMs
    if (!this.#restStarted && this.#wakingMs === 0) this.#beginRest()
    if (!this.#restStarted) return
    if (this.#reports > 0) this.#longestGapMs = Math.max(this.#longestGapMs, this.#nowMs - this.#lastReportMs)
    this.#reports++
  }

  /** The bits of a byte that counts or moves as a number are no buttons, even those that have not turned yet. */
  #setBitsAside(): void {
    for (const watch of this.#watches) {
      const { place, countingFrom } = watch
      if (place.kind !== 'raw-byte') continue
      if (countingFrom !== null) this.#asideFrom(place, countingFrom, 'counts')
      else if (watch.isNumber) this.#asideFrom(place, 0, 'number')
    }
  }

  #asideFrom({ field }: ReportPlace, bits: number, why: Aside): void {
    for (const watch of this.#watches) {
      const { kind, field: other } = watch.place
      if (other.report !== field.report || (kind !== 'raw-bit' && kind !== 'raw-hat')) continue
      if (other.bit < field.bit + field.bits && other.bit + other.bits > field.bit + bits) watch.aside ??= why
    }
  }

  #next(nowMs: number): void {
    do this.#index++
    while (this.#index < this.#asks.length && !this.#canAsk())
    if (this.#index >= this.#asks.length) this.#phase = 'done'
    else this.#startAsk(nowMs)
  }

  /** A stick is rolled only where both its axes were found. */
  #canAsk(): boolean {
    const ask = this.#ask
    return ask?.kind !== 'roll' || this.#stickAxes(ask.stick) !== null
  }

  #stickAxes(stick: StickSide): readonly { readonly watch: Watch; readonly pushed: number }[] | null {
    const axes = (['right', 'up'] as const).flatMap((way) => {
      const answer = this.answers.find(
        ({ ask }) => ask.kind === 'push' && ask.stick === stick && ask.way === way,
      )
      const finding = answer?.finding ?? null
      const watch = this.#watches.find(({ place }) => place === finding?.place)
      return watch === undefined || finding === null || watch.discrete
        ? []
        : [{ watch, pushed: finding.trace.value }]
    })
    return axes.length === 2 ? axes : null
  }

  #startAsk(nowMs: number): void {
    this.#answers[this.#index] = undefined
    this.#taken = this.#two = null
    this.#roll = null
    this.#step = 'let-go'
    this.#quietSinceMs = nowMs
    this.#leaderBackMs = nowMs
  }

  #answer(answer: Answer, nowMs: number): void {
    this.#answers[this.#index] = answer
    this.#next(nowMs)
  }

  /** Looks at what is away from rest now, and goes on by it. */
  #look(): void {
    const away = this.#watches.some((watch) => watch.away && watch.aside === null)
    if (away) this.#quietSinceMs = this.#nowMs
    this.#roll?.take()
    switch (this.#step) {
      case 'let-go':
        if (this.#isQuiet()) this.#arm()
        break
      case 'waiting':
      case 'taken':
      case 'two':
        if (away) {
          this.#step = 'pressed'
          this.#pressedSinceMs = this.#nowMs
          this.#leaderBackMs = null
          this.#leader = null
        }
        break
      case 'pressed':
        this.#lookAtPress()
        break
    }
  }

  /** Waits for a press. What was taken, or was two at once, stays so until another one is found. */
  #arm(): void {
    for (const watch of this.#watches) watch.beginPress()
    this.#noteRests()
    this.#step = this.#taken !== null ? 'taken' : this.#two !== null ? 'two' : 'waiting'
    const ask = this.#ask
    const axes = ask?.kind === 'roll' ? this.#stickAxes(ask.stick) : null
    this.#roll = axes === null ? null : new Roll(axes)
  }

  /** Where axes stand whenever everything is let go: a stick that drifts stands elsewhere each time. */
  #noteRests(): void {
    for (const watch of this.#watches) {
      if (watch.discrete || watch.value === null || watch.aside !== null) continue
      this.#rests.set(watch, [...(this.#rests.get(watch) ?? []), watch.value])
    }
  }

  /** Everything is back for a while; what stays away for too long is put up with. */
  #isQuiet(): boolean {
    if (this.#nowMs - this.#quietSinceMs >= QUIET_MS) return true
    if (this.#leaderBackMs !== null && this.#nowMs - this.#leaderBackMs >= STUCK_MS) this.#putUpWithStuck()
    return false
  }

  #putUpWithStuck(): void {
    for (const watch of this.#watches) {
      if (!watch.away || watch.aside !== null) continue
      if (watch.discrete) watch.aside = 'stuck'
      else watch.takeRest()
    }
  }

  #lookAtPress(): void {
    const ask = this.#ask
    if (ask === undefined) return
    if (this.#roll !== null) {
      if (this.#isQuiet() && this.#roll.turns >= TURNS_WANTED) this.#rolled(this.#nowMs)
      return
    }
    const quiet = this.#isQuiet()
    if (!quiet && this.#nowMs - this.#leaderLookMs < LEADER_LOOK_MS) return
    const finding = decide(ask, this.#watches, this.#longEnoughMs)
    if (!quiet) {
      this.#lookAtLeader(finding)
      return
    }
    if (finding === null) {
      this.#arm()
      return
    }
    this.#taken = null
    if (finding.rival !== null && !this.#isSameTwo(finding)) {
      this.#two = finding
      this.#arm()
      return
    }
    this.#two = null
    const by = this.#whoHas(ask, finding)
    if (by === null) this.#answer({ ask, finding, reach: null, sharedWith: null }, this.#nowMs)
    else {
      this.#taken = { finding, by }
      this.#arm()
    }
  }

  #isSameTwo({ place, rival }: PressOutcome): boolean {
    const before = [this.#two?.place, this.#two?.rival]
    return before.includes(place) && before.includes(rival)
  }

  /** Which ask was answered with the same place. */
  #whoHas(ask: Ask, finding: PressOutcome): Ask | null {
    const before = this.answers.find(
      (answer) =>
        answer.finding !== null &&
        (sameSpot(answer.finding, finding) ||
          (ask.kind === 'push' && answer.ask.kind === 'push' && sameAxis(answer.finding, finding))),
    )
    return before?.ask ?? null
  }

  get #isTalkative(): boolean {
    return this.#reports >= TALKATIVE
  }

  get #longEnoughMs(): number {
    return this.#isTalkative
      ? Math.min(Math.max(LONG_ENOUGH_MS, FEW_REPORTS * this.#longestGapMs), MOST_ENOUGH_MS)
      : LONG_ENOUGH_MS
  }

  /** What was meant may be back while something else stays away. */
  #lookAtLeader(finding: PressOutcome | null): void {
    this.#leaderLookMs = this.#nowMs
    this.#setBitsAside()
    this.#leader = finding?.place ?? null
    const leader = this.#watches.find(({ place }) => place === finding?.place)
    if (leader === undefined) return
    if (leader.away) this.#leaderBackMs = null
    else this.#leaderBackMs ??= this.#nowMs
  }

  #rolled(nowMs: number): void {
    const ask = this.#ask
    const [x, y] = [this.#roll?.reach(0) ?? null, this.#roll?.reach(1) ?? null]
    if (ask === undefined) return
    this.#answer({ ask, finding: null, reach: x && y ? [x, y] : null, sharedWith: null }, nowMs)
  }
}
