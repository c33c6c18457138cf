import type { Cell, Cycle, Phase } from '../port/chart.ts'
import { cellLevel, repliesOf } from '../port/chart.ts'
import { PINS, inputBit } from '../port/pins.ts'
import type { Input, InputMask, Level, Pin } from '../port/pins.ts'
import { AXES } from '../profile/opposite.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title, TitleSample } from '../title/schema.ts'
import { beliefFrom } from './belief.ts'
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

const AXIS_PAIRS = (['vertical', 'horizontal'] as const).map((axis) => ({
  axis,
  both: AXES[axis][0] | AXES[axis][1],
}))

/** Whether the profile lets these inputs reach the port together. */
const reachable = (profile: Pick<Profile, 'opposite'>, held: InputMask): boolean =>
  AXIS_PAIRS.every(({ axis, both }) => (held & both) !== both || profile.opposite[axis] === 'as-held')

/** Inputs that a title takes from its samples of one kind. */
export const takenInputs = (title: Title, when: TitleSample['when']): ReadonlySet<Input> =>
  takenBy(title)[when]

const TAKEN = new WeakMap<Title, Record<TitleSample['when'], ReadonlySet<Input>>>()

function takenBy(title: Title): Record<TitleSample['when'], ReadonlySet<Input>> {
  const known = TAKEN.get(title)
  if (known) return known
  const of = (when: TitleSample['when']) =>
    new Set(title.samples.filter((sample) => sample.when === when).flatMap(({ pins }) => Object.values(pins)))
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

  constructor(
    private readonly profile: Profile,
    private readonly title: Title,
  ) {
    this.#rows = repliesOf(profile.chart)
    this.#shape = shapeOf(profile.chart)
  }

  phase(rises: number, level: Level): Phase {
    return (this.#rows[rowAt(this.#shape, rises)] as Cycle)[level]
  }

  /** What the identification concludes from the phase that it meets; never, where the profile does not let through what it takes. */
  belief(rises: number, level: Level): Belief {
    const needed = beliefFrom(this.title, this.phase(rises, level))
    if (needed === 'never') return 'never'
    return reachable(this.profile, needed) ? needed : 'never'
  }

  /**
   * A belief that differs from the one that is `expected` loses presses that only a read with six buttons sees: the smallest
   * combination that is read with six buttons under the one and not under the other.
   */
  wrongBelief(expected: Belief, belief: Belief): Wrong | null {
    const { sixButtons } = this.title
    if (belief === expected || sixButtons.kind !== 'identified') return null
    const always = takenInputs(this.title, 'always')
    let best: { held: InputMask; extra: Input } | null = null
    for (const [believed, doubted] of [
      [expected, belief],
      [belief, expected],
    ] as const) {
      if (believed === 'never') continue
      for (const extra of takenInputs(this.title, 'six-buttons')) {
        const held = believed | inputBit(extra)
        const tells = !always.has(extra) && (doubted === 'never' || (held & doubted) !== doubted)
        if (!tells || !reachable(this.profile, held)) continue
        if (best === null || countBits(held) < countBits(best.held)) best = { held, extra }
      }
    }
    return best && { held: best.held, pins: sixButtons.lowPins, phantom: [], missed: [best.extra] }
  }

  /**
   * The smallest combination that sample `k` sees wrongly in this phase, or `null` when it sees all of them right.
   *
   * @param kind only this kind of wrong
   */
  wrong(k: number, rises: number, level: Level, belief: InputMask, kind?: WrongKind): Wrong | null {
    const row = rowAt(this.#shape, rises)
    const kinds = kind === undefined ? 0 : kind === 'phantom' ? 1 : 2
    const key = (((k * 16 + row) * 2 + (level === 'high' ? 1 : 0)) * 4096 + belief) * 3 + kinds
    const known = this.#wrong.get(key)
    if (known !== undefined) return known
    const found = this.#find(this.title.samples[k] as TitleSample, this.phase(rises, level), belief, kind)
    this.#wrong.set(key, found)
    return found
  }

  #find(sample: TitleSample, phase: Phase, belief: InputMask, kind: WrongKind | undefined): Wrong | null {
    let best: InputMask | null = null
    for (const pin of PINS) {
      const taken = sample.pins[pin]
      if (taken === undefined || taken === phase[pin]) continue
      for (const [shows, held] of heldThatTell(phase[pin], taken, belief)) {
        if (kind !== undefined && kind !== shows) continue
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
      if (sees === is) continue
      pins.push(pin)
      ;(sees ? phantom : missed).push(taken)
    }
    return { held, pins, phantom, missed }
  }
}

/** The smallest combinations, `belief` among what is held, in which `cell` differs from what `taken`, another one, would show. */
function heldThatTell(cell: Cell, taken: Input, belief: InputMask): [WrongKind, InputMask][] {
  const t = inputBit(taken)
  if (cell === 'low') return belief & t ? [] : [['phantom', belief]]
  if (cell === 'high') return [['missed', belief | t]]
  const c = inputBit(cell)
  const held: [WrongKind, InputMask][] = []
  if (!(belief & t)) held.push(['phantom', belief | c])
  if (!(belief & c)) held.push(['missed', belief | t])
  return held
}
