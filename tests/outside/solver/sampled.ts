import { IDENTIFIES } from '../../../src/title/schedule.ts'
import type { Shown } from './counter.ts'
import { NO, and, isBy, not, or } from './problem.ts'
import type { Formula, Instant } from './problem.ts'
import type { Visit } from './visits.ts'

/** A sample of a visit, each by its number. */
export interface SampleOf {
  readonly visit: number
  readonly sample: number
}

/** What samples of the visits meet, as formulas; where samples are what moves, the one that is asked for may have moved. */
export class Sampled {
  constructor(readonly visits: readonly Visit[]) {}

  /** @param wanted any of these */
  meets({ visit, sample }: SampleOf, wanted: readonly Shown[]): Formula {
    const { here, history, samples } = this.visits[visit] as Visit
    return and(here, history.shows(samples[sample]?.movedAt as Instant, wanted))
  }

  /** The same for one that never moves. */
  isMetBy({ visit, sample }: SampleOf, wanted: Shown): Formula {
    const { here, history, samples } = this.visits[visit] as Visit
    return and(here, history.shows(samples[sample]?.at as Instant, [wanted]))
  }

  /** A sample meets any of these in a read in which the identification, another sample, meets this. */
  meetsWith(one: SampleOf, wanted: readonly Shown[], identification: SampleOf, by: Shown): Formula {
    if (wanted.length === 0) return NO
    const movedAt = this.visits[one.visit]?.samples[one.sample]?.movedAt as Instant
    const identifiedAt = this.visits[identification.visit]?.samples[identification.sample]?.at as Instant
    const { history } = this.visits[Math.max(one.visit, identification.visit)] as Visit
    const read = this.visits.slice(one.visit, identification.visit + 1)
    // A sample keeps its place: it is not moved to before an earlier one, nor past the title's next edge where the read has to go on.
    const keepsPlace = this.#isFirst(one, identification)
      ? and(...read.slice(1).map(({ here, at }) => or(not(here), isBy(movedAt, at, -1))))
      : isBy(identifiedAt, movedAt)
    const comes = [one, identification].map(({ visit }) => this.visits[visit]?.here ?? NO)
    return and(...comes, keepsPlace, history.shows(identifiedAt, [by]), history.shows(movedAt, wanted))
  }

  #isFirst(one: SampleOf, other: SampleOf): boolean {
    return one.visit < other.visit || (one.visit === other.visit && one.sample < other.sample)
  }

  /** Those of the same read. */
  identificationsFor({ visit }: SampleOf): SampleOf[] {
    const { frame, node } = this.visits[visit] as Visit
    return this.identifications.filter((one) => {
      const other = this.visits[one.visit]
      return other?.frame === frame && other.node.read === node.read
    })
  }

  get identifications(): SampleOf[] {
    return this.all.filter(({ visit, sample }) =>
      this.visits[visit]?.node.samples[sample]?.uses.includes(IDENTIFIES),
    )
  }

  get all(): SampleOf[] {
    return this.visits.flatMap(({ node }, visit) => node.samples.map((_, sample) => ({ visit, sample })))
  }
}
