import type { Cell, Cycle, Phase } from '../port/chart.ts'
import { cellLevel, repliesOf } from '../port/chart.ts'
import { PINS, inputBit, inputsIn } from '../port/pins.ts'
import type { Input, InputMask, Level, Pin } from '../port/pins.ts'
import { AXES } from '../profile/opposite.ts'
import type { Profile } from '../profile/schema.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Condition, Schedule, TakenSample } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { believes, conditionBelief, mustHold, mustNotHold } from './belief.ts'
import type { Belief } from './belief.ts'
import { rowAt, shapeOf } from './reach/shape.ts'
import type { ChartShape } from './reach/shape.ts'

/**
 * What a title sees in a phase, for all combinations of inputs at once. A pin carries one input or a fixed level, so
 * whether a sample can go wrong is settled pin by pin, and the smallest combination that shows it is found directly;
 * `tests/bench/sight.test.ts` holds this against all 4096 combinations tried one by one.
 */

/** The smallest combination that a sample sees wrongly. */
export interface Wrong {
  readonly held: InputMask
  readonly pins: readonly Pin[]
  readonly phantom: readonly Input[]
  readonly missed: readonly Input[]
}

/** A press that is seen and not made, or made and not seen. */
export type WrongKind = 'phantom' | 'missed'

/** Whether a pin that goes wrong in this way makes the sample go wrong. */
export type PinCounts = (pin: Pin, kind: WrongKind) => boolean

const AXIS_PAIRS = (['vertical', 'horizontal'] as const).map((axis) => ({
  axis,
  both: AXES[axis][0] | AXES[axis][1],
}))

/** Whether the profile lets these inputs reach the port together. */
const reachable = (profile: Pick<Profile, 'opposite'>, held: InputMask): boolean =>
  AXIS_PAIRS.every(({ axis, both }) => (held & both) !== both || profile.opposite[axis] === 'as-held')

/** Inputs that a title takes from its samples of one kind. */
export const takenInputs = (title: Title, when: TakenSample['when']): ReadonlySet<Input> =>
  takenBy(title)[when]

const TAKEN = new WeakMap<Title, Record<TakenSample['when'], ReadonlySet<Input>>>()

function takenBy(title: Title): Record<TakenSample['when'], ReadonlySet<Input>> {
  const known = TAKEN.get(title)
  if (known) return known
  const { samples } = scheduleOf(title)
  const of = (when: TakenSample['when']) =>
    new Set(samples.filter((sample) => sample.when === when).flatMap(({ pins }) => Object.values(pins)))
  const taken = { always: of('always'), 'six-buttons': of('six-buttons') }
  TAKEN.set(title, taken)
  return taken
}

function countBits(mask: number): number {
  let count = 0
  for (let rest = mask; rest !== 0; rest &= rest - 1) count++
  return count
}

export class Sight {
  readonly #rows: readonly Cycle[]
  readonly #shape: ChartShape
  readonly #wrong = new Map<number, Wrong | null>()
  readonly schedule: Schedule

  constructor(
    private readonly profile: Profile,
    private readonly title: Title,
  ) {
    this.schedule = scheduleOf(title)
    this.#rows = repliesOf(profile.chart)
    this.#shape = shapeOf(profile.chart)
  }

  phase(rises: number, level: Level): Phase {
    return (this.#rows[rowAt(this.#shape, rises)] as Cycle)[level]
  }

  /** What a condition asks for in the phase that it meets; never, where the profile does not let through what that takes. */
  belief(condition: Condition, rises: number, level: Level): Belief {
    return this.within(conditionBelief(condition, this.phase(rises, level)))
  }

  /** A belief as far as the profile lets through what it takes. */
  within(belief: Belief): Belief {
    return belief !== 'never' && reachable(this.profile, mustHold(belief)) ? belief : 'never'
  }

  /**
   * A belief that differs from the one that is `expected` loses presses that only a read with six buttons sees: the smallest
   * combination that is read with six buttons under the one and not under the other.
   */
  wrongBelief(expected: Belief, belief: Belief): Wrong | null {
    const { sixButtons } = this.schedule
    if (belief === expected || sixButtons.kind !== 'told') return null
    const always = takenInputs(this.title, 'always')
    let best: { held: InputMask; extra: Input } | null = null
    for (const [believed, doubted] of [
      [expected, belief],
      [belief, expected],
    ] as const) {
      if (believed === 'never') continue
      for (const extra of takenInputs(this.title, 'six-buttons')) {
        if (always.has(extra)) continue
        for (const held of heldFor(believed, doubted, inputBit(extra))) {
          if (!reachable(this.profile, held)) continue
          if (best === null || countBits(held) < countBits(best.held)) best = { held, extra }
        }
      }
    }
    const asked = sixButtons.by.flatMap(({ low, high }) => [...low, ...high])
    const pins = PINS.filter((pin) => asked.includes(pin))
    return best && { held: best.held, pins, phantom: [], missed: [best.extra] }
  }

  /**
   * The smallest combination that sample `k` sees wrongly in this phase, or `null` when it sees all of them right.
   *
   * @param belief what must be held, and what must not be, for the sample to be taken
   * @param kind only this kind of wrong
   * @param counts which of its pins can make it go wrong, and how; all where nothing is said
   */
  wrong(
    k: number,
    rises: number,
    level: Level,
    belief: number,
    kind?: WrongKind,
    counts?: PinCounts,
  ): Wrong | null {
    const sample = this.schedule.samples[k] as TakenSample
    if (counts) return this.#find(sample, this.phase(rises, level), belief, kind, counts)
    const row = rowAt(this.#shape, rises)
    const kinds = kind === undefined ? 0 : kind === 'phantom' ? 1 : 2
    const key = (((k * 64 + row) * 2 + (level === 'high' ? 1 : 0)) * 2 ** 24 + belief) * 3 + kinds
    const known = this.#wrong.get(key)
    if (known !== undefined) return known
    const found =
      sample.readBack === null
        ? this.#find(sample, this.phase(rises, level), belief, kind)
        : this.#readBack(sample.readBack, level, belief, kind)
    this.#wrong.set(key, found)
    return found
  }

  /** The level of select itself, mixed into an input: low presses it, whatever its pin shows; high leaves it alone. */
  #readBack(input: Input, level: Level, belief: number, kind: WrongKind | undefined): Wrong | null {
    if (level === 'high' || kind === 'missed') return null
    const told = heldThatTell('low', input, belief).find(([, held]) => reachable(this.profile, held))
    return told ? { held: told[1], pins: [], phantom: [input], missed: [] } : null
  }

  /** Whether sample `k` can show this input wrongly in this phase. */
  errs(k: number, rises: number, level: Level, belief: number, kind: WrongKind, input: Input): boolean {
    const { pins } = this.schedule.samples[k] as TakenSample
    const counts: PinCounts = (pin) => pins[pin] === input
    return this.wrong(k, rises, level, belief, kind, counts) !== null
  }

  #find(
    sample: TakenSample,
    phase: Phase,
    belief: number,
    kind: WrongKind | undefined,
    counts: PinCounts = () => true,
  ): Wrong | null {
    let best: InputMask | null = null
    for (const pin of PINS) {
      const taken = sample.pins[pin]
      if (taken === undefined || taken === phase[pin]) continue
      for (const [shows, held] of heldThatTell(phase[pin], taken, belief)) {
        if ((kind !== undefined && kind !== shows) || !counts(pin, shows)) continue
        if (!reachable(this.profile, held)) continue
        if (best === null || countBits(held) < countBits(best)) best = held
      }
    }
    if (best === null) return null
    const held = best
    const pins: Pin[] = []
    const phantom: Input[] = []
    const missed: Input[] = []
    for (const pin of PINS) {
      const taken = sample.pins[pin]
      if (taken === undefined) continue
      const sees = cellLevel(phase[pin], held) === 'low'
      const is = (held & inputBit(taken)) !== 0
      if (sees === is || !counts(pin, sees ? 'phantom' : 'missed')) continue
      pins.push(pin)
      ;(sees ? phantom : missed).push(taken)
    }
    return { held, pins, phantom, missed }
  }
}

/** The smallest combinations, as `belief` asks for, in which `cell` differs from what `taken`, another one, would show. */
function heldThatTell(cell: Cell, taken: Input, belief: number): [WrongKind, InputMask][] {
  const [needed, free] = [mustHold(belief), mustNotHold(belief)]
  const t = inputBit(taken)
  const held: [WrongKind, InputMask][] = []
  const tell = (kind: WrongKind, mask: InputMask): void => {
    if ((mask & free) === 0) held.push([kind, mask])
  }
  if (cell === 'low') {
    if (!(needed & t)) tell('phantom', needed)
  } else if (cell === 'high') tell('missed', needed | t)
  else {
    const c = inputBit(cell)
    if (!(needed & t)) tell('phantom', needed | c)
    if (!(needed & c)) tell('missed', needed | t)
  }
  return held
}

/** The smallest combinations with `extra` held that are believed in by the one belief and not by the other. */
function heldFor(believed: number, doubted: Belief, extra: InputMask): InputMask[] {
  const held = mustHold(believed) | extra
  if ((held & mustNotHold(believed)) !== 0) return []
  if (!believes(doubted, held)) return [held]
  // One more that the other must not have.
  const spoils = doubted === 'never' ? 0 : mustNotHold(doubted) & ~mustNotHold(believed)
  return inputsIn(spoils).map((input) => held | inputBit(input))
}
