import { inputWord } from '../port/input-texts.ts'
import type { Control } from '../pad/controls.ts'
import { INPUTS } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'

/** A control by its name in the files, after what it presses: "Mode (centre-left)". */
export function controlWord(control: Control, { mapping }: Pick<Profile, 'mapping'>): string {
  const input = INPUTS.find((one) => mapping[one].includes(control))
  return input === undefined ? control : `${inputWord(input)} (${control})`
}
