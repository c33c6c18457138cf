import { CONTROLS, controlBit } from '../../pad/controls.ts'
import type { Control, ControlMask } from '../../pad/controls.ts'

/**
 * From a report of the Gamepad API to controls. The first seventeen buttons and the four axes are those of the
 * standard layout. Source: W3C Gamepad, "Remapping" (standard gamepad layout).
 */

/** The part of a browser's `Gamepad` that is looked at. */
export interface PadReport {
  readonly buttons: readonly { readonly pressed: boolean; readonly value: number }[]
  readonly axes: readonly number[]
}

/** A trigger or stick counts as pressed from here on, */
export const PRESS_AT = 0.5
/** and as let go only below this, so that it does not chatter in between. */
export const RELEASE_AT = 0.4

const STANDARD_BUTTONS = 17
const EXTRA_BUTTONS = CONTROLS.filter((control) => control.startsWith('extra-'))

/** Axis by axis: the control towards −1, then the one towards +1. */
const AXES: readonly (readonly [Control, Control])[] = [
  ['stick-left-left', 'stick-left-right'],
  ['stick-left-up', 'stick-left-down'],
  ['stick-right-left', 'stick-right-right'],
  ['stick-right-up', 'stick-right-down'],
]

/** The control of a button by its place in the report; buttons past the standard ones are the extras. */
export const buttonControl = (index: number): Control | undefined =>
  index < STANDARD_BUTTONS ? CONTROLS[index] : EXTRA_BUTTONS[index - STANDARD_BUTTONS]

/**
 * What is held in a report.
 *
 * @param before what was held in the report before it, for the gap between pressing and letting go
 */
export function heldControls(report: PadReport, before: ControlMask): ControlMask {
  let mask = 0
  const hold = (control: Control | undefined, amount: number) => {
    if (control === undefined) return
    const bit = controlBit(control)
    if (amount >= (before & bit ? RELEASE_AT : PRESS_AT)) mask |= bit
  }
  report.buttons.forEach(({ pressed, value }, index) => hold(buttonControl(index), pressed ? 1 : value))
  AXES.forEach(([negative, positive], index) => {
    const value = report.axes[index] ?? 0
    hold(negative, -value)
    hold(positive, value)
  })
  return mask >>> 0
}
