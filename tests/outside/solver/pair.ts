import { shapeOf } from '../../../src/bench/reach/shape.ts'
import type { CabledAdapter } from '../../../src/bench/judgement.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { scheduleOf } from '../../../src/title/schedule.ts'
import type { Title } from '../../../src/title/schema.ts'
import { limits } from '../../bench/play.ts'
import type { PadTimes } from '../../bench/play-schedule.ts'
import { Misreads } from './misreads.ts'
import { NO_MOVES, oneMove } from './moves.ts'
import type { Moves } from './moves.ts'
import { Problem } from './problem.ts'
import { Reader } from './reader.ts'
import type { Reply } from './reader.ts'
import type { Solver } from './solver.ts'
import { visitsOf } from './visits.ts'
import type { Setup, Visit } from './visits.ts'

/** A title in front of a profile, as the solver is asked about it. */
export class Pair {
  readonly #reader: Reader
  readonly #times: PadTimes

  constructor(
    private readonly solver: Solver,
    profile: Profile,
    private readonly title: Title,
    adapter: CabledAdapter,
  ) {
    this.#reader = new Reader(profile, title)
    const { reply, idle } = limits(profile, title, adapter)
    this.#times = { reply, idleReset: idle, rise: scheduleOf(title).rise }
    this.#shape = shapeOf(profile.chart)
  }
  readonly #shape: Setup['shape']

  /** Whether any timing of the first frames misreads; if not, what the identification can meet in them. */
  async fromPowerOn(frames: number): Promise<'misreads' | readonly Reply[]> {
    const { problem, misreads } = this.#model({ begins: 'fresh', frames }, () => NO_MOVES)
    const goesWrong = problem.question(misreads.inReads(() => true, []))
    // Where no two of them tell, it does not matter which ones they are.
    const telling = this.#reader.unlike(this.#reader.replies)
    const identified = telling.map((reply) => ({
      reply,
      question: problem.question(misreads.isIdentifiedBy(reply)),
    }))
    return this.solver.about(problem, async (isPossible) => {
      if (await isPossible(goesWrong)) return 'misreads'
      const met: Reply[] = []
      for (const { reply, question } of identified) if (await isPossible(question)) met.push(reply)
      const unlike = this.#reader.unlike(met)
      return met.some((reply) => unlike.includes(reply)) ? 'misreads' : met
    })
  }

  /**
   * Whether any timing misreads in these reads, with the box as much wider as `byNs` says.
   *
   * @param usual what the identification meets from power-on
   */
  goesWrong(
    setup: Pick<Setup, 'begins' | 'frames'>,
    byNs: number,
    usual: readonly Reply[],
    isAsked: (visit: Visit) => boolean = () => true,
  ): Promise<boolean> {
    const { problem, misreads } = this.#model(setup, (made) => oneMove(made, byNs))
    const question = problem.question(misreads.inReads(isAsked, this.#reader.unlike(usual)))
    return this.solver.about(problem, (isPossible) => isPossible(question))
  }

  #model(
    setup: Pick<Setup, 'begins' | 'frames'>,
    movesFor: (problem: Problem) => Moves,
  ): { readonly problem: Problem; readonly misreads: Misreads } {
    const problem = new Problem()
    const all: Setup = {
      ...setup,
      schedule: scheduleOf(this.title),
      shape: this.#shape,
      times: this.#times,
    }
    const visits = visitsOf(problem, all, movesFor(problem))
    return { problem, misreads: new Misreads(this.title, this.#reader, visits) }
  }
}
