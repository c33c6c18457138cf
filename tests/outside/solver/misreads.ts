import { IDENTIFIES, scheduleOf } from '../../../src/title/schedule.ts'
import type { Title } from '../../../src/title/schema.ts'
import { NO, or } from './problem.ts'
import type { Formula } from './problem.ts'
import type { Reader, Reply } from './reader.ts'
import type { SampleOf, Sampled } from './sampled.ts'
import type { Visit } from './visits.ts'

/** What goes wrong in the samples of a title, as formulas. */
export class Misreads {
  constructor(
    private readonly title: Title,
    private readonly reader: Reader,
    private readonly sampled: Sampled,
  ) {}

  /** Whether an identification, none of them moved, can meet a reply. */
  isIdentifiedBy(reply: Reply): Formula {
    return or(...this.sampled.identifications.map((one) => this.sampled.isMetBy(one, reply)))
  }

  /**
   * Whether any sample of these visits goes wrong, one of them moved if samples are what moves.
   *
   * @param strange replies that the identification must not meet
   */
  inVisits(isAsked: (visit: Visit) => boolean, strange: readonly Reply[]): Formula {
    const { all, visits } = this.sampled
    const asked = all.filter(({ visit }) => isAsked(visits[visit] as Visit))
    return or(...asked.flatMap((one) => this.#usesOf(one).map((use) => this.#goesWrong(one, use, strange))))
  }

  #usesOf({ visit, sample }: SampleOf): readonly number[] {
    return this.sampled.visits[visit]?.node.samples[sample]?.uses ?? []
  }

  #goesWrong(one: SampleOf, use: number, strange: readonly Reply[]): Formula {
    const { sampled, reader } = this
    if (use === IDENTIFIES) return sampled.meets(one, strange)
    const { kind } = this.title.sixButtons
    const waits = scheduleOf(this.title).samples[use]?.when === 'six-buttons'
    if (waits && kind === 'never') return NO
    if (!waits || kind === 'assumed') return sampled.meets(one, reader.wrongFor(use, null))
    const { replies } = reader
    if (this.#usesOf(one).includes(IDENTIFIES)) {
      const own = replies.filter((reply) => reader.wrongFor(use, reply).includes(reply))
      return sampled.meets(one, own)
    }
    const identifications = sampled.identificationsFor(one)
    return or(
      ...identifications.flatMap((at) =>
        replies.map((by) => sampled.meetsWith(one, reader.wrongFor(use, by), at, by)),
      ),
    )
  }
}
