import { IDENTIFIES } from '../../../src/title/schedule.ts'
import type { Title } from '../../../src/title/schema.ts'
import { NO, and, isBy, not, or } from './problem.ts'
import type { Formula, Instant } from './problem.ts'
import type { Reader, Reply } from './reader.ts'
import type { Visit } from './visits.ts'

/** Where a read identifies the pad. */
interface Identification {
  readonly visit: number
  readonly sample: number
}

/** What goes wrong in the visits of one read, as formulas. */
export class Misreads {
  constructor(
    private readonly title: Title,
    private readonly reader: Reader,
    private readonly visits: readonly Visit[],
  ) {}

  /** Whether an identification, none of them moved, can meet a reply. */
  isIdentifiedBy(reply: Reply): Formula {
    return or(
      ...this.visits.flatMap(({ node, here, history, samples }) =>
        node.samples.map(({ uses }, k) =>
          uses.includes(IDENTIFIES) ? and(here, history.shows(samples[k]?.at as Instant, [reply])) : NO,
        ),
      ),
    )
  }

  /**
   * Whether any sample of these reads goes wrong, one of them moved if samples are what moves.
   *
   * @param strange replies that the identification must not meet
   */
  inReads(isAsked: (visit: Visit) => boolean, strange: readonly Reply[]): Formula {
    return or(
      ...this.visits.flatMap((visit, v) =>
        !isAsked(visit)
          ? []
          : visit.node.samples.map((sample, k) =>
              and(visit.here, or(...sample.uses.map((use) => this.#goesWrong(v, k, use, strange)))),
            ),
      ),
    )
  }

  #goesWrong(v: number, k: number, use: number, strange: readonly Reply[]): Formula {
    const { node, history, samples } = this.visits[v] as Visit
    const movedAt = samples[k]?.movedAt as Instant
    if (use === IDENTIFIES) return history.shows(movedAt, strange)
    const { kind } = this.title.sixButtons
    const waits = this.title.samples[use]?.when === 'six-buttons'
    if (waits && kind === 'never') return NO
    if (!waits || kind === 'assumed') return history.shows(movedAt, this.reader.wrongFor(use, null))
    if (node.samples[k]?.uses.includes(IDENTIFIES)) {
      const own = this.reader.replies.filter((reply) => this.reader.wrongFor(use, reply).includes(reply))
      return history.shows(movedAt, own)
    }
    return or(...this.#identifications(v).map((at) => this.#wrongBy(v, movedAt, use, at)))
  }

  /** A sample that waits, wrong by what the identification of its read has met. */
  #wrongBy(v: number, movedAt: Instant, use: number, { visit, sample }: Identification): Formula {
    const { here, history } = this.visits[Math.max(v, visit)] as Visit
    const identifiedAt = this.visits[visit]?.samples[sample]?.at as Instant
    const between = this.visits.slice(v + 1, visit + 1)
    // A sample keeps its place: it is not moved to before an earlier one, nor past the title's next edge where the read has to go on.
    const keepsPlace =
      visit <= v
        ? isBy(identifiedAt, movedAt)
        : and(...between.map((later) => or(not(later.here), isBy(movedAt, later.at, -1))))
    const wrong = this.reader.replies.map((by) => {
      const replies = this.reader.wrongFor(use, by)
      if (replies.length === 0) return NO
      return and(history.shows(identifiedAt, [by]), history.shows(movedAt, replies))
    })
    return and(here, keepsPlace, or(...wrong))
  }

  #identifications(v: number): Identification[] {
    const { frame, node } = this.visits[v] as Visit
    return this.visits.flatMap((other, visit) =>
      other.frame !== frame || other.node.read !== node.read
        ? []
        : other.node.samples.flatMap(({ uses }, sample) =>
            uses.includes(IDENTIFIES) ? [{ visit, sample }] : [],
          ),
    )
  }
}
