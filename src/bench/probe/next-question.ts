import type { InputMask } from '../../port/pins.ts'
import type { StepsOfWork } from '../../port/steps-of-work.ts'
import type { Title } from '../../title/schema.ts'
import { HOLDS } from './held.ts'
import type { Probe } from './probe-profiles.ts'
import type { Answer, Question, Suspects, Way } from './suspects.ts'
import type { Added } from './shows.ts'
import { blurred, contested } from './weighing.ts'
import type { Left } from './weighing.ts'

/** One thing that a title may be altogether. */
interface Suspect {
  readonly way: number
  readonly choices: readonly number[]
}

/**
 * What was answered so often is not asked once more: where it still tells nothing, timing decides what is seen. Nor is what a player was not
 * sure of.
 */
const MOST_ASKED = 3

/** Less than this is nothing but rounding. */
const LEAST_BITS = 1e-9

/** So many are looked at one by one; of more, so many that are drawn. */
const MOST_SUSPECTS = 192

/** The same numbers each time, so that the same answers lead to the same questions. */
function* numbers(): Generator<number, never> {
  for (let state = 1; ;) {
    state = (Math.imul(state, 1_103_515_245) + 12_345) >>> 0
    yield state >>> 8
  }
}

function suspectsIn({ ways }: Left): Suspect[] {
  const sizes = ways.map(({ choices }) => choices.reduce((n, { length }) => n * length, 1))
  if (sizes.reduce((sum, n) => sum + n, 0) <= MOST_SUSPECTS)
    return ways.flatMap(({ choices }, way) =>
      choices
        .reduce<number[][]>((all, ones) => all.flatMap((head) => ones.map((one) => [...head, one])), [[]])
        .map((chosen) => ({ way, choices: chosen })),
    )
  const draw = numbers()
  return Array.from({ length: MOST_SUSPECTS }, (_, k) => {
    const way = k % ways.length
    const choices = (ways[way]?.choices ?? []).map((ones) => ones[draw.next().value % ones.length] as number)
    return { way, choices }
  })
}

/** What a player sees of it, without what tells nothing; `null` where the timing decides. */
function outcome({ base, each }: Added, blur: InputMask, choices: readonly number[]): InputMask | null {
  let { must, may } = base
  choices.forEach((choice, g) => {
    const shows = each[g]?.[choice]
    must |= shows?.must ?? 0
    may |= shows?.may ?? 0
  })
  return (must & ~blur) === (may & ~blur) ? must & ~blur : null
}

/** Outcomes of one question, suspect by suspect. */
function outcomesOf(
  suspects: Suspects,
  left: Left,
  all: readonly Suspect[],
  question: Question,
): (InputMask | null)[] {
  const added = left.ways.map(({ way }: { readonly way: Way }) => suspects.added(way, question))
  const blur = added.reduce(
    (sum, one, w) => sum | blurred(one) | contested(one, left.ways[w]?.choices ?? []),
    0,
  )
  return all.map(({ way, choices }) => outcome(added[way] as Added, blur, choices))
}

function sizesOf<T>(keys: readonly T[]): number[] {
  const sizes = new Map<T, number>()
  for (const key of keys) sizes.set(key, (sizes.get(key) ?? 0) + 1)
  return [...sizes.values()]
}

/** Bits that an answer tells, all suspects taken for equally likely. One of which the timing decides what is seen goes with every answer. */
function told(outcomes: readonly (InputMask | null)[]): number {
  const known = outcomes.filter((one) => one !== null)
  const unclear = outcomes.length - known.length
  return sizesOf(known).reduce(
    (bits, size) => bits + (size / outcomes.length) * Math.log2(outcomes.length / (size + unclear)),
    0,
  )
}

/** Modes that go on: what comes once at power-on is over before anybody looks. */
export const askedModes = ({ modes }: Title): number[] => {
  const lasting = modes.flatMap(({ once }, k) => (once ? [] : [k]))
  return lasting.length > 0 ? lasting : [modes.length - 1]
}

const isSame = (one: Question, other: Question): boolean =>
  one.probe.id === other.probe.id && one.mode === other.mode && one.held === other.held

const heldCount = (held: InputMask): number => {
  let n = 0
  for (let rest = held; rest !== 0; rest &= rest - 1) n++
  return n
}

/** How often something was asked; `null` where it is not asked once more. */
function askedBefore(question: Question, answers: readonly Answer[]): number | null {
  const same = answers.filter((one) => isSame(one.question, question))
  return same.length >= MOST_ASKED || same.some(({ acts }) => acts === null) ? null : same.length
}

/** What it takes of a player to hold this. */
const effort = (held: InputMask): number => Math.max(1, heldCount(held))

/** The question that tells most with what is in the adapter, for what it takes of a player; `null` where none tells anything. */
export function nextQuestion(
  suspects: Suspects,
  left: Left,
  probe: Probe,
  modes: readonly number[],
  asked: readonly Answer[],
): Question | null {
  const all = suspectsIn(left)
  let best: { readonly question: Question; readonly worth: number } | null = null
  for (const mode of modes)
    for (const held of HOLDS) {
      const question = { probe, mode, held }
      const again = askedBefore(question, asked)
      if (again === null) continue
      const worth = told(outcomesOf(suspects, left, all, question)) / effort(held) / (1 + again)
      if (worth > (best?.worth ?? LEAST_BITS)) best = { question, worth }
    }
  return best?.question ?? null
}

/** What all questions to a probe profile show together of each suspect. */
class Partition {
  #keys: string[]
  #parts = 1

  constructor(
    private readonly suspects: Suspects,
    private readonly left: Left,
    private readonly all: readonly Suspect[],
  ) {
    this.#keys = all.map(() => '')
  }

  get largest(): number {
    return Math.max(0, ...sizesOf(this.#keys))
  }

  /** The same with one more question; `null` where it tells no two apart that were together. */
  with(question: Question): Partition | null {
    const outcomes = outcomesOf(this.suspects, this.left, this.all, question)
    if (told(outcomes) <= LEAST_BITS) return null
    const next = new Partition(this.suspects, this.left, this.all)
    next.#keys = this.#keys.map((key, k) => `${key} ${outcomes[k]}`)
    next.#parts = new Set(next.#keys).size
    return next.#parts > this.#parts ? next : null
  }

  get parts(): number {
    return this.#parts
  }
}

/** All that can be asked while a probe profile is in. */
const questionsTo = (probe: Probe, modes: readonly number[]): Question[] =>
  modes.flatMap((mode) => HOLDS.map((held) => ({ probe, mode, held })))

/** How many probe profiles were tried out, of all. */
export interface ProbesTried {
  readonly kind: 'choosing'
  readonly tried: number
  readonly of: number
}

/**
 * The probe profile that leaves the fewest together in the worst case, of equals the first; `null` where none tells any two apart by what can
 * still be asked.
 */
export function* nextProbe(
  suspects: Suspects,
  left: Left,
  probes: readonly Probe[],
  modes: readonly number[],
  asked: readonly Answer[],
): StepsOfWork<ProbesTried, Probe | null> {
  const all = suspectsIn(left)
  let best: { readonly probe: Probe; readonly most: number } | null = null
  for (const [tried, probe] of probes.entries()) {
    yield { kind: 'choosing', tried, of: probes.length }
    const whole = questionsTo(probe, modes)
      .filter((question) => askedBefore(question, asked) !== null)
      .reduce((known, question) => known.with(question) ?? known, new Partition(suspects, left, all))
    const most = whole.largest
    if (most < (best?.most ?? all.length)) best = { probe, most }
    if (most === 1) break
  }
  return best?.probe ?? null
}

/** How often each fact is asked for on a page: one wrong answer settles nothing. */
const TIMES_ASKED = 2

/** Questions to one probe profile that can be answered one after the other, without knowing what the ones before have shown. */
export function pageOf(suspects: Suspects, left: Left, probe: Probe, modes: readonly number[]): Question[] {
  const all = suspectsIn(left)
  let open = questionsTo(probe, modes)
  const page: Question[] = []
  for (let time = 0; time < TIMES_ASKED; time++) {
    let known = new Partition(suspects, left, all)
    for (;;) {
      const best = mostTelling(known, open)
      if (best === null) break
      page.push(best.question)
      open = open.filter((one) => one !== best.question)
      known = best.partition
    }
  }
  return page
}

function mostTelling(
  known: Partition,
  open: readonly Question[],
): { readonly question: Question; readonly partition: Partition } | null {
  let best: { readonly question: Question; readonly partition: Partition; readonly worth: number } | null =
    null
  for (const question of open) {
    const partition = known.with(question)
    if (partition === null) continue
    const worth = Math.log2(partition.parts / known.parts) / effort(question.held)
    if (worth > (best?.worth ?? 0)) best = { question, partition, worth }
  }
  return best
}
