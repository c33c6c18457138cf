import type { Cell, Chart, Cycle, Phase } from '../port/chart.ts'
import { cellLevel } from '../port/chart.ts'
import { PINS, inputBit, inputsIn } from '../port/pins.ts'
import type { Input, InputMask, Level, Pin } from '../port/pins.ts'
import { AXES } from '../profile/opposite.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title, TitleSample } from '../title/schema.ts'
import { rowAt } from './timeline.ts'

/**
 * What a title sees in a phase, for all combinations of inputs at once. A pin carries one input or a fixed level, so
 * whether a sample can go wrong is settled pin by pin, and the smallest combination that shows it is found directly;
 * `tests/bench/sight.test.ts` holds this against all 4096 combinations tried one by one.
 */

/** What must be held for a title to believe in six buttons: a set of inputs (0: nothing, it always does), or never. */
export type Belief = InputMask | 'never'

/** The smallest combination that a sample sees wrongly. */
export interface Wrong {
  readonly held: InputMask
  readonly pins: readonly Pin[]
  readonly phantom: readonly Input[]
  readonly missed: readonly Input[]
}

/** Whether the profile lets these inputs reach the port together. */
const reachable = (profile: Pick<Profile, 'opposite'>, held: InputMask): boolean =>
  (Object.keys(AXES) as (keyof typeof AXES)[]).every((axis) => {
    const both = AXES[axis][0] | AXES[axis][1]
    return profile.opposite[axis] === 'as-held' || (held & both) !== both
  })

/** Inputs that a title takes from its samples of one kind. */
export const takenInputs = (title: Title, when: TitleSample['when']): Set<Input> =>
  new Set(
    title.samples.filter((sample) => sample.when === when).flatMap((sample) => Object.values(sample.pins)),
  )

const countBits = (mask: number): number => inputsIn(mask).length

export class Sight {
  readonly #rows: readonly Cycle[]
  readonly #wrong = new Map<string, Wrong | null>()

  constructor(
    private readonly profile: Profile,
    private readonly title: Title,
  ) {
    const { chart } = profile
    this.#rows = chart.after.kind === 'stay' ? [...chart.cycles, chart.after.reply] : chart.cycles
  }

  get chart(): Chart {
    return this.profile.chart
  }

  phase(rises: number, level: Level): Phase {
    return (this.#rows[rowAt(this.chart, rises)] as Cycle)[level]
  }

  /** What the identification concludes from the phase that it meets. */
  belief(rises: number, level: Level): Belief {
    const { sixButtons } = this.title
    if (sixButtons.kind === 'never') return 'never'
    if (sixButtons.kind === 'assumed') return 0
    const phase = this.phase(rises, level)
    let needed: InputMask = 0
    for (const pin of sixButtons.lowPins) {
      const cell = phase[pin]
      if (cell === 'high') return 'never'
      if (cell !== 'low') needed |= inputBit(cell)
    }
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

  /** The smallest combination that sample `k` sees wrongly in this phase, or `null` when it sees all of them right. */
  wrong(k: number, rises: number, level: Level, belief: InputMask): Wrong | null {
    const key = `${k} ${rowAt(this.chart, rises)} ${level} ${belief}`
    const known = this.#wrong.get(key)
    if (known !== undefined) return known
    const found = this.#find(this.title.samples[k] as TitleSample, this.phase(rises, level), belief)
    this.#wrong.set(key, found)
    return found
  }

  #find(sample: TitleSample, phase: Phase, belief: InputMask): Wrong | null {
    let best: InputMask | null = null
    for (const pin of PINS) {
      const taken = sample.pins[pin]
      if (taken === undefined) continue
      for (const held of heldThatTell(phase[pin], taken, belief)) {
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

/** The smallest combinations, `belief` among what is held, in which `cell` differs from what `taken` would show. */
function heldThatTell(cell: Cell, taken: Input, belief: InputMask): InputMask[] {
  const t = inputBit(taken)
  if (cell === taken) return []
  if (cell === 'low') return belief & t ? [] : [belief]
  if (cell === 'high') return [belief | t]
  const c = inputBit(cell)
  const held: InputMask[] = []
  if (!(belief & t)) held.push(belief | c)
  if (!(belief & c)) held.push(belief | t)
  return held
}
