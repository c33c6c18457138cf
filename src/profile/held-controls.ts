import { controlMask } from '../pad/controls.ts'
import type { Control, ControlMask } from '../pad/controls.ts'
import { INPUTS } from '../port/pins.ts'
import type { Input, InputMask } from '../port/pins.ts'
import type { BankChange, BankTarget, Layer, Mapping, PowerOnRule } from './schema.ts'

/** From the controls that are held to what the port is asked for: mapping, layers, and the rules that chords trigger. */

/** The inputs that controls ask for, before opposite directions and repeat. The last layer that names an input decides. */
export function inputsThrough(mapping: Mapping, layersOn: readonly Layer[], passing: ControlMask): InputMask {
  const controlsFor = (input: Input) =>
    layersOn.reduce((controls, layer) => layer.mapping[input] ?? controls, mapping[input])
  let mask = 0
  INPUTS.forEach((input, k) => {
    if (controlMask(controlsFor(input)) & passing) mask |= 1 << k
  })
  return mask
}

/** Whether all of a chord's controls are held. */
export const chordHeld = (chord: ControlMask, held: ControlMask): boolean =>
  (chord & held) >>> 0 === chord >>> 0

/** What a rule asks to be held, and for how long; rules for power-on know no time. */
export interface RuleHold {
  readonly held: readonly Control[]
  readonly forMs?: number
}

/** Whether a rule matches once just this has been held for so long. */
export const isMet = (rule: RuleHold, held: ControlMask, heldMs: number): boolean =>
  chordHeld(controlMask(rule.held), held) && heldMs >= (rule.forMs ?? 0)

/** The power-on rule that counts while this is held: the first that matches. */
export const powerOnRule = (rules: readonly PowerOnRule[], held: ControlMask): PowerOnRule | null =>
  rules.find((rule) => isMet(rule, held, 0)) ?? null

/** What the power-on rules say while this is held, if one matches. */
export const powerOnOutcome = (
  rules: readonly PowerOnRule[],
  held: ControlMask,
): PowerOnRule['then'] | null => powerOnRule(rules, held)?.then ?? null

/** The bank change that counts once just this has been held for so long: the first that matches. */
export const bankChangeRule = (
  changes: readonly BankChange[],
  held: ControlMask,
  heldMs: number,
): BankChange | null => changes.find((change) => isMet(change, held, heldMs)) ?? null

/** What the bank changes ask for once just this has been held for so long, if one matches. */
export const bankChangeFor = (
  changes: readonly BankChange[],
  held: ControlMask,
  heldMs: number,
): BankTarget | null => bankChangeRule(changes, held, heldMs)?.bank ?? null
