import type { Phase } from '../port/chart.ts'
import { ALL_INPUTS, INPUTS, inputBit } from '../port/pins.ts'
import type { InputMask } from '../port/pins.ts'
import type { Condition, Schedule, Telling } from '../title/schedule.ts'

/**
 * What must be held, and what must not be, for a title to believe in six buttons; 0: nothing, it always does; or never. The low twelve
 * bits are the inputs that must be held, the twelve above them those that must not.
 */
export type Belief = number | 'never'

const FREE = INPUTS.length

export const mustHold = (belief: number): InputMask => belief & ALL_INPUTS
export const mustNotHold = (belief: number): InputMask => belief >> FREE

/** What one condition asks for with this on the pins. */
export function conditionBelief({ low, high }: Pick<Condition, 'low' | 'high'>, met: Phase): Belief {
  let held: InputMask = 0
  let free: InputMask = 0
  for (const pin of low) {
    const cell = met[pin]
    if (cell === 'high') return 'never'
    if (cell !== 'low') held |= inputBit(cell)
  }
  for (const pin of high) {
    const cell = met[pin]
    if (cell === 'low') return 'never'
    if (cell !== 'high') free |= inputBit(cell)
  }
  return (held & free) !== 0 ? 'never' : held | (free << FREE)
}

/** What is asked for where both have to be so. */
export function bothBeliefs(one: Belief, other: Belief): Belief {
  if (one === 'never' || other === 'never') return 'never'
  const belief = one | other
  return (mustHold(belief) & mustNotHold(belief)) !== 0 ? 'never' : belief
}

/** Whether a title believes in six buttons while exactly these inputs are on the port. */
export const believes = (belief: Belief, held: InputMask): boolean =>
  belief !== 'never' && (held & mustHold(belief)) === mustHold(belief) && (held & mustNotHold(belief)) === 0

/** What a title concludes as it goes on from sample to sample. */
export class Told {
  #met: (Phase | undefined)[] = []

  constructor(private readonly telling: Telling) {}

  startRead(): void {
    if (this.telling.kind === 'told' && this.telling.holds === 'read') this.#met = []
  }

  /** @param sample of the title, by its index */
  meet(sample: number, phase: Phase): void {
    if (this.telling.kind !== 'told') return
    this.telling.by.forEach(({ samples }, k) => {
      if (samples.includes(sample)) this.#met[k] = phase
    })
  }

  get belief(): Belief {
    if (this.telling.kind !== 'told') return this.telling.kind === 'assumed' ? 0 : 'never'
    return this.telling.by
      .map((condition, k) => {
        const met = this.#met[k]
        return met === undefined ? 'never' : conditionBelief(condition, met)
      })
      .reduce(bothBeliefs)
  }
}

/** Conditions that a sample tells, by its uses. */
export const conditionsOf = (
  { sixButtons }: Pick<Schedule, 'sixButtons'>,
  uses: readonly number[],
): number[] =>
  sixButtons.kind !== 'told'
    ? []
    : sixButtons.by.flatMap(({ samples }, k) => (samples.some((one) => uses.includes(one)) ? [k] : []))
