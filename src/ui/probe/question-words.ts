import type { Answer, Question } from '../../bench/probe/suspects.ts'
import { controlWord } from '../../pad/control-texts.ts'
import { inputList } from '../../port/input-texts.ts'
import { INPUTS, inputBit, inputsIn } from '../../port/pins.ts'
import type { Input, InputMask } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import { eitherWords, listWords } from '../../words/lists.ts'
import { t } from './probe-texts.ts'

/** Inputs as they stand on a pad, and beneath one another on the sheet. */
export const INPUT_GROUPS: readonly (readonly Input[])[] = [
  INPUTS.filter((input) => ['up', 'down', 'left', 'right'].includes(input)),
  INPUTS.filter((input) => ['a', 'b', 'c', 'start'].includes(input)),
  INPUTS.filter((input) => ['x', 'y', 'z', 'mode'].includes(input)),
]

/** "Hold Up and C." @param mode `null` where there is one only */
export function holdWords({ held }: Question, mode: string | null): string {
  const said = { n: inputsIn(held).length, inputs: inputList(inputsIn(held)) }
  return mode === null ? t.hold(said) : t.holdInMode({ ...said, mode })
}

/** The same when it is over: "Held Up and C". */
export function heldWords({ held }: Question, mode: string | null): string {
  const said = { n: inputsIn(held).length, inputs: inputList(inputsIn(held)) }
  return mode === null ? t.held(said) : t.heldInMode({ ...said, mode })
}

/** Which controls of a pad that takes; empty where nothing is held. */
export const padWords = ({ held, probe }: Question): string => padOf(probe.profile, held)

export function padOf({ mapping }: Pick<Profile, 'mapping'>, held: InputMask): string {
  const inputs = inputsIn(held)
  if (inputs.length === 0) return ''
  return t.onPad({ controls: listWords(inputs.map((input) => eitherWords(mapping[input].map(controlWord)))) })
}

/** "Nothing acts", "Up and A act". */
export const actsWords = (acts: InputMask): string =>
  t.acts({ n: inputsIn(acts).length, inputs: inputList(inputsIn(acts)) })

export const answerWords = ({ acts }: Answer): string => (acts === null ? t.wasNotSure : actsWords(acts))

/** With an input in it, or without. */
export const withInput = (acts: InputMask, input: Input, isIn: boolean): InputMask =>
  isIn ? acts | inputBit(input) : acts & ~inputBit(input)
