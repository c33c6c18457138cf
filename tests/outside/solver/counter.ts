import type { ChartShape } from '../../../src/bench/reach/shape.ts'
import type { PadTimes } from '../../bench/play-schedule.ts'
import { movedAfter } from './moves.ts'
import type { Moves } from './moves.ts'
import { NO, YES, and, either, isBy, not, or } from './problem.ts'
import type { Formula, Instant, Problem } from './problem.ts'

/** Row of the chart and level of select, as pins show it. */
export interface Shown {
  readonly row: number
  readonly isHigh: boolean
}

/** What is counted: for each row whether it is that one, the level, and what comes by itself. */
export interface Counted {
  readonly rows: readonly Formula[]
  readonly isHigh: Formula
  readonly reset: Due
  readonly rise: Due
}

interface Due {
  readonly isDue: Formula
  readonly at: Instant
}

/** One change of what is counted, if it comes; `shownAt` is when the pins show it, if nothing before it is later. */
interface Change extends Pick<Counted, 'rows' | 'isHigh'> {
  readonly comes: Formula
  readonly shownAt: Instant
}

/** All that has happened by some instant: the pins show one of these, in their order. */
export class History {
  constructor(
    private readonly problem: Problem,
    private readonly first: Pick<Counted, 'rows' | 'isHigh'>,
    private readonly changes: readonly Change[],
  ) {}

  with(changes: readonly Change[]): History {
    return new History(this.problem, this.first, [...this.changes, ...changes])
  }

  /** Whether the pins can show one of these at an instant; on the very instant of a change it may be either side of it. */
  shows(at: Instant, wanted: readonly Shown[]): Formula {
    if (wanted.length === 0) return NO
    const of = ({ rows, isHigh }: Pick<Counted, 'rows' | 'isHigh'>): Formula =>
      or(...wanted.map((one) => and(rows[one.row] ?? NO, one.isHigh ? isHigh : not(isHigh))))
    const last = this.#lastShown(at)
    return or(...[this.first, ...this.changes].map((change, k) => and(of(change), last[k] ?? NO)))
  }

  /** For what was there first and for each change, whether it is the last that is shown. */
  #lastShown(at: Instant): readonly Formula[] {
    const known = this.#last.get(at)
    if (known) return known
    const { problem } = this
    const allHidden: Formula[] = [YES]
    for (const { comes, shownAt } of this.changes.toReversed())
      allHidden.unshift(problem.named(and(or(not(comes), isBy(at, shownAt)), allHidden[0] ?? YES)))
    const last = [allHidden[0] ?? YES]
    let allShown: Formula = YES
    this.changes.forEach(({ comes, shownAt }, k) => {
      allShown = problem.named(and(allShown, or(not(comes), isBy(shownAt, at))))
      last.push(problem.named(and(comes, allShown, allHidden[k + 1] ?? YES)))
    })
    this.#last.set(at, last)
    return last
  }
  readonly #last = new Map<Instant, readonly Formula[]>()
}

/** A pad that counts, with everything that it can do as a formula. */
export class Counter {
  constructor(
    private readonly problem: Problem,
    private readonly shape: ChartShape,
    private readonly times: PadTimes,
    private readonly moves: Moves,
  ) {}

  /** As it is at power-on. */
  fresh(level: 'high' | 'low'): Counted {
    const never = { isDue: NO, at: this.problem.origin }
    const rows = this.#rows.map((_, row) => (row === 0 ? YES : NO))
    return { rows, isHigh: level === 'high' ? YES : NO, reset: never, rise: never }
  }

  /** Anything counted before, with its idle reset at any time from the place of the first read on. */
  leftOver(level: 'high' | 'low'): Counted {
    const { problem, times, moves } = this
    const rows = this.#rows.map(() => problem.choice())
    problem.oneOf(rows)
    const { maxNs } = times.idleReset
    const { later } = moves.idleReset
    const at = movedAfter(problem, problem.origin, { minNs: 0, maxNs }, moves.byNs, { sooner: NO, later })
    return { ...this.fresh(level), rows, reset: { isDue: YES, at } }
  }

  get #rows(): null[] {
    const { cycles, after } = this.shape
    return Array<null>(after === 'stay' ? cycles + 1 : cycles).fill(null)
  }

  /**
   * What comes by itself, in the only order that there is: a reset, then a rise of a line that was let go, then the reset of that rise. A reset
   * comes before whatever else falls on its instant; a fall comes before a rise, which is then lost.
   *
   * @param here whether the title comes to `by` at all
   * @param by `null`: the title does nothing any more
   */
  pass(before: Counted, here: Formula, by: Instant | null, falls: boolean): [Counted, Change[]] {
    const { problem } = this
    const isIn = (at: Instant, ns = 0): Formula => (by === null ? YES : isBy(at, by, ns))
    const { reset, rise } = before
    const isFirst = or(not(rise.isDue), isBy(reset.at, rise.at))
    const resets = problem.named(and(here, reset.isDue, isIn(reset.at), isFirst))
    let now = this.#reset(before, resets)
    const changes = [this.#change(now, resets, reset.at)]
    const rises = problem.named(and(here, rise.isDue, isIn(rise.at, falls ? -1 : 0)))
    if (rises !== NO) {
      now = this.#rise(now, rises, rise.at)
      changes.push(this.#change(now, rises, rise.at))
      const resetsAgain = problem.named(and(rises, isIn(now.reset.at)))
      const { at } = now.reset
      now = this.#reset(now, resetsAgain)
      changes.push(this.#change(now, resetsAgain, at))
    }
    return [now, changes.filter(({ comes }) => comes !== NO)]
  }

  /** What the title writes. */
  write(before: Counted, here: Formula, at: Instant, what: 'low' | 'high' | 'release'): [Counted, Change[]] {
    const { problem } = this
    const { isHigh, rise } = before
    const isFallen = problem.named(and(here, not(isHigh)))
    const lost = { ...rise, isDue: problem.named(and(rise.isDue, not(here))) }
    if (what === 'release') {
      const { times, moves } = this
      if (times.rise === null) throw new Error('a line that is never let go')
      const isLetGo = problem.named(and(isFallen, not(rise.isDue)))
      const up = movedAfter(problem, at, times.rise, moves.byNs, moves.rise)
      const isDue = problem.named(or(rise.isDue, isLetGo))
      return [{ ...before, rise: { isDue, at: problem.instantOf(isLetGo, up, rise.at) } }, []]
    }
    const comes = what === 'high' ? isFallen : problem.named(and(here, isHigh))
    const now =
      what === 'high'
        ? { ...this.#rise(before, comes, at), rise: lost }
        : { ...before, isHigh: problem.named(and(isHigh, not(here))), rise: lost }
    return [now, comes === NO ? [] : [this.#change(now, comes, at)]]
  }

  #change({ rows, isHigh }: Counted, comes: Formula, at: Instant): Change {
    const shownAt = comes === NO ? at : this.problem.after(at, this.times.reply)
    return { rows, isHigh, comes, shownAt }
  }

  #reset(before: Counted, comes: Formula): Counted {
    const { problem } = this
    const rows = before.rows.map((is, row) => problem.named(row === 0 ? or(comes, is) : and(not(comes), is)))
    return {
      ...before,
      rows,
      reset: { ...before.reset, isDue: problem.named(and(before.reset.isDue, not(comes))) },
    }
  }

  #rise(before: Counted, comes: Formula, at: Instant): Counted {
    const { problem, times, moves } = this
    const { rows, reset, rise } = before
    const last = rows.length - 1
    const stays = this.shape.after === 'stay'
    const risen = rows.map((_, row) => {
      const from = rows[row === 0 ? last : row - 1] ?? NO
      if (!stays) return from
      return row === 0 ? NO : row === last ? or(from, rows[last] ?? NO) : from
    })
    const due = movedAfter(problem, at, times.idleReset, moves.byNs, moves.idleReset)
    return {
      rows: rows.map((is, row) => problem.named(either(comes, risen[row] ?? NO, is))),
      isHigh: problem.named(or(comes, before.isHigh)),
      reset: {
        isDue: problem.named(or(comes, reset.isDue)),
        at: problem.instantOf(comes, due, reset.at),
      },
      rise: { ...rise, isDue: problem.named(and(rise.isDue, not(comes))) },
    }
  }
}
