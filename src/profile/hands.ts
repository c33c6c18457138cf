import { controlMask } from '../pad/controls.ts'
import type { ControlMask } from '../pad/controls.ts'
import { INPUTS } from '../port/pins.ts'
import type { Input, InputMask } from '../port/pins.ts'
import type { BankChange, BankTarget, Layer, Mapping, PowerOnRule } from './schema.ts'

/** From what the hands hold to what the port is asked for: mapping, layers, and the rules that chords trigger. */

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

/** What the first power-on rule that matches says, if one does. */
export const powerOnOutcome = (
  rules: readonly PowerOnRule[],
  held: ControlMask,
): PowerOnRule['then'] | null => rules.find((rule) => chordHeld(controlMask(rule.held), held))?.then ?? null

/** What the first bank change whose chord was held long enough asks for, if one does. */
export const bankChangeFor = (
  changes: readonly BankChange[],
  held: ControlMask,
  heldMs: number,
): BankTarget | null =>
  changes.find((change) => chordHeld(controlMask(change.held), held) && heldMs >= change.forMs)?.bank ?? null
