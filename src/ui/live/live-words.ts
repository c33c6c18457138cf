import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { inputList } from '../../port/input-texts.ts'
import { listWords } from '../../words/lists.ts'
import type { SeenNow } from '../../bench/sees-now.ts'
import { controlsIn } from '../../pad/controls.ts'
import type { ControlMask } from '../../pad/controls.ts'
import { INPUTS, inputBit, inputsIn } from '../../port/pins.ts'
import type { InputMask } from '../../port/pins.ts'
import type { Chord, Layer, Profile } from '../../profile/schema.ts'
import type { RawReport } from './live-reports.svelte.ts'
import { bytesWord, hexWord } from '../../words/hexadecimal.ts'

/** "03: 08 00 A1", without the number where reports have none. */
export function reportWords({ number, data }: RawReport): string {
  const bytes = bytesWord(data)
  return number === 0 ? bytes : `${hexWord(number, 2)}: ${bytes}`
}

export const controlWords = (mask: ControlMask): string =>
  listWords(controlsIn(mask).map((control) => CONTROL_WORDS[control])) || 'nothing'

export const inputsWord = (mask: InputMask): string => (mask === 0 ? 'nothing' : inputList(inputsIn(mask)))

/** "layer 1, held by Left trigger; layer 3, toggled by Centre". */
export function layersWord(layers: readonly Layer[], on: readonly Layer[]): string {
  const words = layers.flatMap((layer, k) =>
    on.includes(layer)
      ? [`layer ${k + 1}, ${layer.kind} by ${listWords(layer.by.map((control) => CONTROL_WORDS[control]))}`]
      : [],
  )
  return words.join('; ') || 'none is on'
}

/** The chords that are on, and the controls that wait for the rest of one. */
export function chordsWord(on: readonly Chord[], waiting: ControlMask): string {
  const words = on.map(
    ({ held, inputs }) =>
      `${listWords(held.map((control) => CONTROL_WORDS[control]))} for ${inputList(inputs)}`,
  )
  if (waiting !== 0) words.push(`${controlWords(waiting)} held back`)
  return words.join('; ') || 'none is on'
}

/** The steady repeats of what is asked for, and where each stands. */
export function repeatsWord(
  { repeat }: Pick<Profile, 'repeat'>,
  inputs: InputMask,
  asked: InputMask,
): string {
  const words = INPUTS.flatMap((input) => {
    const rule = repeat[input]
    if (!rule || !(asked & inputBit(input))) return []
    const name = inputList([input])
    if (rule.kind === 'reads')
      return [`${name} ${rule.pressedReads} of ${rule.pressedReads + rule.releasedReads} reads`]
    return [
      `${name} every ${rule.pressedMs + rule.releasedMs} ms, ${inputs & inputBit(input) ? 'pressed' : 'released'}`,
    ]
  })
  return words.join('; ') || 'none'
}

/** What a title sees in words, a part for each picture. `isRight`: it sees what is on the port, as far as it samples it. */
export function seesWords(
  pictures: readonly SeenNow[],
  inputs: InputMask,
): { readonly sentence: string; readonly isRight: boolean } {
  const all = pictures.reduce((sum, { reads }) => sum + reads, 0)
  // What it samples in some of its reads must be right in all of them.
  const sampled = pictures.reduce((mask, seen) => mask | seen.sampled, 0)
  const wanted = inputs & sampled
  const parts = pictures.map((seen) => {
    const what = `${inputsWord(seen.inputs)}${seen.sixButtons ? ', and six buttons' : ''}`
    return pictures.length === 1 ? what : `${what} in ${seen.reads} of ${all} reads`
  })
  const unseen = inputs & ~sampled
  const blind = unseen === 0 ? '' : ` It does not sample ${inputList(inputsIn(unseen))}.`
  return {
    sentence: `${parts.join('; ') || 'nothing'}.${blind}`,
    isRight: pictures.every((seen) => seen.inputs === wanted),
  }
}
