import { shapeOf } from '../../../src/bench/reach/shape.ts'
import { scheduleOf } from '../../../src/title/schedule.ts'
import type { Title } from '../../../src/title/schema.ts'
import { padLimits } from '../../bench/play.ts'
import type { PadTimes } from '../../bench/play-schedule.ts'
import type { DrawnPair } from './arbitrary-pair.ts'
import { Misreads } from './misreads.ts'
import { NO_MOVES, oneMove } from './moves.ts'
import type { Moves } from './moves.ts'
import { NO, Problem } from './problem.ts'
import { Reader } from './reader.ts'
import type { Reply } from './reader.ts'
import { Sampled } from './sampled.ts'
import type { Solver } from './solver.ts'
import { visitsOf } from './visits.ts'
import type { Setup, Visit } from './visits.ts'

/** A title in front of a profile, as the solver is asked about it. */
export class Pair {
  readonly #reader: Reader
  readonly #times: PadTimes
  readonly #shape: Setup['shape']
  readonly #title: Title

  constructor(
    private readonly solver: Solver,
    { profile, title, adapter }: DrawnPair,
  ) {
    this.#title = title
    this.#reader = new Reader(profile, title)
    const { reply, idle } = padLimits(profile, adapter)
    this.#times = { reply, idleReset: idle, rise: scheduleOf(title).rise }
    this.#shape = shapeOf(profile.chart)
  }

  /** Whether any timing of the first frames misreads. */
  async misreads(frames: number): Promise<boolean> {
    const setup = { begins: 'fresh', frames } as const
    if (await this.goesWrong(setup, 0, [])) return true
    const identified = await this.identified(frames)
    return identified.length > 0 && this.goesWrong(setup, 0, identified)
  }

  /** What the identification can meet in the first frames after power-on; nothing where all that it could comes to the same. */
  async identified(frames: number): Promise<readonly Reply[]> {
    const telling = this.#reader.unlike(this.#reader.replies)
    if (telling.length === 0) return []
    const { problem, misreads } = this.#model({ begins: 'fresh', frames }, () => NO_MOVES)
    const questions = telling.map((reply) => problem.question(misreads.isIdentifiedBy(reply)))
    return this.solver.about(problem, async (isPossible) => {
      const met: Reply[] = []
      for (const [k, reply] of telling.entries()) if (await isPossible(questions[k] ?? NO)) met.push(reply)
      return met
    })
  }

  /**
   * Whether any timing misreads in these reads, with the box as much wider as `byNs` says.
   *
   * @param identified what the identification meets from power-on: it goes wrong where it meets what tells something else
   */
  goesWrong(
    setup: Pick<Setup, 'begins' | 'frames'>,
    byNs: number,
    identified: readonly Reply[],
    isAsked: (visit: Visit) => boolean = () => true,
  ): Promise<boolean> {
    const { problem, misreads } = this.#model(setup, (made) => oneMove(made, byNs))
    const question = problem.question(misreads.inVisits(isAsked, this.#reader.unlike(identified)))
    return this.solver.about(problem, (isPossible) => isPossible(question))
  }

  #model(
    setup: Pick<Setup, 'begins' | 'frames'>,
    movesFor: (problem: Problem) => Moves,
  ): { readonly problem: Problem; readonly misreads: Misreads } {
    const problem = new Problem()
    const all: Setup = {
      ...setup,
      schedule: scheduleOf(this.#title),
      shape: this.#shape,
      times: this.#times,
    }
    const visits = visitsOf(problem, all, movesFor(problem))
    return { problem, misreads: new Misreads(this.#title, this.#reader, new Sampled(visits)) }
  }
}
