import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { inputList, inputWord } from '../../port/input-texts.ts'
import { listWords, rowWords } from '../../words/lists.ts'
import type { SeenNow } from '../../bench/sees-now.ts'
import { controlsIn } from '../../pad/controls.ts'
import type { Control, ControlMask } from '../../pad/controls.ts'
import { INPUTS, inputBit, inputsIn } from '../../port/pins.ts'
import type { InputMask } from '../../port/pins.ts'
import type { Chord, Layer, Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { RawReport } from './live-reports.svelte.ts'
import { t } from './live-texts.ts'
import { bytesWord, hexWord } from '../../words/hexadecimal.ts'

/** "03: 08 00 A1", without the number where reports have none. */
export function reportWords({ number, data }: RawReport): string {
  const bytes = bytesWord(data)
  return number === 0 ? bytes : `${hexWord(number, 2)}: ${bytes}`
}

const controlList = (controls: readonly Control[]): string =>
  listWords(controls.map((control) => CONTROL_WORDS[control]))

export const controlWords = (mask: ControlMask): string => controlList(controlsIn(mask)) || t.nothing

export const inputsWord = (mask: InputMask): string => (mask === 0 ? t.nothing : inputList(inputsIn(mask)))

/** "layer 1 (held by Left trigger), layer 3 (toggled by Centre)". */
export function layersWord(layers: readonly Layer[], on: readonly Layer[]): string {
  const words = layers.flatMap((layer, k) =>
    on.includes(layer) ? [t.layer({ kind: layer.kind, n: k + 1, controls: controlList(layer.by) })] : [],
  )
  return rowWords(words) || t.noneOn
}

/** The chords that are on, and the controls that wait for the rest of one. */
export function chordsWord(on: readonly Chord[], waiting: ControlMask): string {
  const words = on.map(({ held, inputs }) =>
    t.chord({ controls: controlList(held), inputs: inputList(inputs) }),
  )
  if (waiting !== 0) words.push(t.waiting({ controls: controlWords(waiting) }))
  return rowWords(words) || t.noneOn
}

/** The repeats of what is asked for, and where each stands. */
export function repeatsWord(
  { repeat }: Pick<Profile, 'repeat'>,
  inputs: InputMask,
  asked: InputMask,
): string {
  const words = INPUTS.flatMap((input) => {
    const rule = repeat[input]
    if (!rule || !(asked & inputBit(input))) return []
    const name = inputWord(input)
    if (rule.kind === 'reads') {
      const { pressedReads, releasedReads } = rule
      return [t.repeatInReads({ input: name, pressed: pressedReads, all: pressedReads + releasedReads })]
    }
    const pressed = (inputs & inputBit(input)) !== 0
    return [t.repeatInMs({ pressed, input: name, period: rule.pressedMs + rule.releasedMs })]
  })
  return rowWords(words) || t.none
}

/** Whose sight it is: a title with several modes is shown in the last of them. */
export function whoSees({ name: title, modes }: Title): string {
  const mode = modes.at(-1)?.name
  return modes.length > 1 && mode !== undefined ? t.titleSeesInMode({ title, mode }) : t.titleSees({ title })
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
    const picture = { six: seen.sixButtons, inputs: inputsWord(seen.inputs) }
    return pictures.length === 1
      ? t.picture(picture)
      : t.pictureInSome({ ...picture, reads: seen.reads, all })
  })
  const unseen = inputs & ~sampled
  const seen = { pictures: rowWords(parts) || t.nothing }
  return {
    sentence: unseen === 0 ? t.sees(seen) : t.seesNotAll({ ...seen, unseen: inputList(inputsIn(unseen)) }),
    isRight: pictures.every((seen) => seen.inputs === wanted),
  }
}
