import type { Profile } from '../../profile/schema.ts'
import { waysOf } from '../../title/possible.ts'
import type { Title } from '../../title/schema.ts'
import { boxOf } from '../box.ts'
import { decided } from '../decided.ts'
import { explored } from '../explored.ts'
import { hangsOnBelief } from '../play/course.ts'
import { letsOppositeThrough } from '../findings.ts'
import { judge } from '../judge.ts'
import type { JudgeOptions } from '../judgement.ts'
import { isRight } from '../judgement.ts'
import type { Judgement } from '../judgement.ts'
import { levelOf, rowOf } from '../reach/counting.ts'
import { Sight } from '../sight.ts'
import { firstMisread } from '../weigh.ts'
import type { MetReply } from '../weigh.ts'
import { WorkBudget } from '../work-budget.ts'
import { CHANGE_KINDS, CHART_KINDS, cellChanges, changesOf, metWith, withChange } from './grid.ts'
import type { Change, ChangeKind } from './grid.ts'

/** A set of changes that serves all the titles, and what they then read. */
export interface Found {
  readonly changes: readonly Change[]
  /** The profile to keep. */
  readonly profile: Profile
  /** One for each title, in their order. */
  readonly judgements: readonly Judgement[]
}

/** How far a search has come. */
export interface SearchProgress {
  /** Combinations of changes that were tried or ruled out. */
  readonly tried: number
  /** The best so far: clean before tight, then what came first. */
  readonly best: Found | null
}

export interface SearchOutcome {
  /** With every title clean; where there is none, with none misread. */
  readonly found: readonly Found[]
  /** Combinations of changes that were tried or ruled out. */
  readonly tried: number
  /** Whether the whole grid was gone through: then what was not found is not in it. */
  readonly isWhole: boolean
}

/**
 * Looks for the fewest changes that make all titles clean. Fewer changes come first; within a set of kinds the change that changes
 * least. A set is not tried when part of it does already.
 *
 * @yields how far it has come, at the latest whenever one title has been explored once, so that progress can be shown and the search
 *   stopped
 */
export function* searchFixes(
  profile: Profile,
  titles: readonly Title[],
  options: JudgeOptions,
): Generator<SearchProgress, SearchOutcome> {
  const bench = new Bench(titles, options)
  const clean: { kinds: ReadonlySet<ChangeKind>; found: Found }[] = []
  const tight: typeof clean = []
  let tried = 0
  const kindSets = setsOfKinds()
  const most = Math.max(...kindSets.map((kinds) => kinds.size))
  for (let size = 1; size <= most; size++) {
    for (const kinds of kindSets.filter((set) => set.size === size)) {
      if (clean.some((known) => [...known.kinds].every((kind) => kinds.has(kind)))) continue
      const isSupersetOfTight = tight.some((known) => [...known.kinds].every((kind) => kinds.has(kind)))
      let best: Found | null = null
      const soFar = () => ({ tried, best: clean[0]?.found ?? tight[0]?.found ?? best })
      for (const changes of combinations(profile, kinds, bench)) {
        yield soFar()
        if (changes === null) continue
        tried++
        const judging = bench.judge(profile, changes, best !== null || isSupersetOfTight)
        let step = judging.next()
        for (; !step.done; step = judging.next()) yield soFar()
        const judgements = step.value
        if (judgements === null) continue
        const found = { changes, profile: changes.reduce(withChange, profile), judgements }
        best ??= found
        if (judgements.every(({ verdict }) => verdict === 'clean')) {
          clean.push({ kinds, found })
          best = null
          break
        }
      }
      if (best !== null) tight.push({ kinds, found: best })
    }
    if (clean.length > 0) break
  }
  const chosen = clean.length > 0 ? clean : tight
  return { found: chosen.map(({ found }) => found), tried, isWhole: clean.length === 0 }
}

/** All sets of kinds that can go together, cheap kinds first. */
function setsOfKinds(): ReadonlySet<ChangeKind>[] {
  const sets: Set<ChangeKind>[] = []
  for (let bits = 1; bits < 1 << CHANGE_KINDS.length; bits++) {
    const kinds = CHANGE_KINDS.filter((_, k) => (bits >> k) & 1)
    if (kinds.filter((kind) => CHART_KINDS.includes(kind)).length < 2) sets.push(new Set(kinds))
  }
  return sets
}

/**
 * All combinations of one change of each kind; cells last, since where they can help depends on the others. `null` where none is ready
 * yet, and the work goes on.
 */
function* combinations(
  profile: Profile,
  kinds: ReadonlySet<ChangeKind>,
  bench: Bench,
): Generator<Change[] | null> {
  const plain = [...kinds].filter((kind) => kind !== 'cell')
  for (const changes of product(plain.map((kind) => changesOf(kind, profile)))) {
    if (!kinds.has('cell')) yield changes
    else for (const cell of bench.cellsThatMayHelp(profile, changes)) yield cell && [...changes, cell]
  }
}

function* product(lists: readonly (readonly Change[])[]): Generator<Change[]> {
  const [first, ...others] = lists
  if (first === undefined) {
    yield []
    return
  }
  for (const one of first) for (const rest of product(others)) yield [one, ...rest]
}

const met = (profile: Profile, changes: readonly Change[]): Profile => changes.reduce(metWith, profile)

/** Judges many profiles in front of the same titles; what depends on the timing alone is worked out once. */
class Bench {
  /** What samples meet, by all that it hangs on; without the timings that lead there, which take a thousand times the memory. */
  readonly #met = new Map<string, readonly MetReply[]>()
  /** Of everything that the titles may be. */
  readonly #numbers = new Map<Title, number>()
  #kept = 0
  /** Which title to try first: the one that turned the last candidate down. */
  readonly #order: number[]

  constructor(
    private readonly titles: readonly Title[],
    private readonly options: JudgeOptions,
  ) {
    this.#order = titles.map((_, k) => k)
  }

  /**
   * The judgements with these changes, or `null` where some title misreads. One step for each title that is asked.
   *
   * @param onlyClean a judgement that is merely tight is no good either
   */
  *judge(
    profile: Profile,
    changes: readonly Change[],
    onlyClean: boolean,
  ): Generator<undefined, Judgement[] | null> {
    const tried = met(profile, changes)
    for (const [at, k] of this.#order.entries()) {
      if (at > 0) yield
      if (this.#firstWrong(tried, k) === null) continue
      this.#order.splice(at, 1)
      this.#order.unshift(k)
      return null
    }
    const judgements: Judgement[] = []
    for (const title of this.titles) {
      yield
      const judgement = judge(tried, title, this.options)
      if (!isRight(judgement) || (onlyClean && judgement.verdict !== 'clean')) return null
      judgements.push(judgement)
    }
    return judgements
  }

  /**
   * The cells that may mend what goes wrong first with these changes: a sample stays wrong as long as no cell of the phase that it
   * meets changes, so all others are ruled out at once. A belief can be mended in any phase that its sample meets. `null` for each
   * title that reads right as it is.
   */
  *cellsThatMayHelp(profile: Profile, changes: readonly Change[]): Generator<Change | null> {
    const tried = met(profile, changes)
    for (const k of this.#order) {
      const wrong = this.#firstWrong(tried, k)
      yield null
      if (wrong === null) continue
      if (wrong === 'opposite') return
      const phases = new Map<string, Change[]>()
      for (const { code } of wrong) {
        const row = rowOf(code)
        const cycle = row < tried.chart.cycles.length ? row : 'after'
        phases.set(`${cycle} ${levelOf(code)}`, cellChanges(cycle, levelOf(code)))
      }
      for (const cells of phases.values()) yield* cells
      return
    }
  }

  /** The samples of which one has to change before all that this title may be can read right; `null` where it does. */
  #firstWrong(profile: Profile, k: number): readonly MetReply[] | 'opposite' | null {
    for (const way of waysOf(this.titles[k] as Title)) {
      const wrong = this.#firstWrongOf(profile, way)
      if (wrong !== null) return wrong
    }
    return null
  }

  #firstWrongOf(profile: Profile, title: Title): readonly MetReply[] | 'opposite' | null {
    if (letsOppositeThrough(profile, title) !== null) return 'opposite'
    return firstMisread(this.#metBy(profile, title), new Sight(profile, title), title)
  }

  #numberOf(title: Title): number {
    const known = this.#numbers.get(title) ?? this.#numbers.size
    this.#numbers.set(title, known)
    return known
  }

  #metBy(profile: Profile, title: Title): readonly MetReply[] {
    const { chart, delayNs, idleResetNs, opposite } = profile
    // Where a title's ways hang on what it believes, they hang on the cells, and on what can be held for it.
    const cells = hangsOnBelief(title) ? JSON.stringify([chart, opposite]) : ''
    const key = `${this.#numberOf(title)} ${chart.cycles.length} ${chart.after.kind} ${delayNs} ${idleResetNs} ${cells}`
    const known = this.#met.get(key)
    if (known) return known
    const box = boxOf(profile, title, this.options.adapter)
    const budget = new WorkBudget()
    const exploration = explored(title, chart, box, budget)
    const replies = eachOnce(decided(profile, title, box, exploration, budget).samples)
    if (this.#kept > MOST_KEPT) {
      this.#met.clear()
      this.#kept = 0
    }
    this.#met.set(key, replies)
    this.#kept += replies.length
    return replies
  }
}

/** What samples can meet, each once. */
function eachOnce(samples: readonly MetReply[]): MetReply[] {
  const replies = new Map<unknown, Map<string, MetReply>>()
  for (const { sample, code, identified, awayNs } of samples) {
    if (awayNs > 0) continue
    const ofSample = replies.get(sample) ?? new Map<string, MetReply>()
    ofSample.set(`${code} ${identified}`, { sample, code, identified, awayNs })
    replies.set(sample, ofSample)
  }
  return [...replies.values()].flatMap((ofSample) => [...ofSample.values()])
}

/** Replies in all: some 100 MB. */
const MOST_KEPT = 1_000_000
