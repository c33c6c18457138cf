import type { CauseKind, SymptomCause } from '../../bench/symptoms.ts'
import { SYMPTOMS } from '../../bench/symptoms/symptoms.ts'
import type { Symptom } from '../../bench/symptoms/symptoms.ts'
import type { Setting, TrialAct } from '../../bench/symptoms/trials.ts'
import { inputList } from '../../port/input-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import { holdWords } from '../plan/plan-words.ts'

export const seenWords = (saw: readonly Symptom[]): string => saw.map((name) => SYMPTOMS[name]).join('; ')

/** The first letter as at the start of a line. */
export const lineWords = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)

/** What a setting changes: "the idle reset to 1.10 ms". */
export function settingWords({ opposite, delayNs, idleResetNs }: Setting): string {
  return listWords([
    ...(opposite ? ['opposite directions to neutral'] : []),
    ...(delayNs === undefined ? [] : [`the deliberate delay to ${timeWord(delayNs)}`]),
    ...(idleResetNs === undefined ? [] : [`the idle reset to ${timeWord(idleResetNs)}`]),
  ])
}

/** What to do, without a full stop: "hold Up". */
export function actWords(act: TrialAct): string {
  switch (act.kind) {
    case 'hold':
      return act.held.length === 0 ? 'hold nothing' : `hold ${inputList(act.held)}`
    case 'power-on':
      return `${holdWords(act.held)} while power comes on`
    case 'setting':
      return `set ${settingWords(act.set)} and flash`
    case 'profile':
      return `open the profile ${act.name} and flash it`
  }
}

/** What the button does that carries out the part of an act that the app can; `null` where all of it is for the hands. */
export function applyLabel(act: TrialAct): string | null {
  if (act.kind === 'profile') return `Open ${act.name}`
  return act.kind === 'setting' ? `Set ${settingWords(act.set)}` : null
}

export const moreWords = (more: number): string =>
  more === 0 ? '' : more === 1 ? 'or one more, with another figure' : `or ${more} more, with other figures`

/** The answer as it is heard. */
export function heardWords(kinds: readonly CauseKind<SymptomCause>[], profileName: string): string {
  const [first] = kinds
  if (first === undefined) return `No read pattern shows this with ${profileName}.`
  const likeliest = `a title that ${first.likeliest.words}`
  return kinds.length === 1
    ? `One kind of title is left: ${likeliest}.`
    : `${kinds.length} kinds of title fit. The likeliest: ${likeliest}.`
}

/** For how much of what is left a remedy is good. */
export function servesWords(serves: number, left: number): string {
  if (serves < left) return `It serves ${serves} of the ${left} read patterns of these kinds.`
  return left === 1 ? 'It serves this read pattern.' : `It serves all ${left} read patterns of these kinds.`
}
