import type { CauseKind, SymptomCause } from '../../bench/symptoms.ts'
import { actWords as actWordsWith, settingWords } from '../../bench/symptoms/act-words.ts'
import type { TrialAct } from '../../bench/symptoms/trials.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { lineStart } from '../../words/sentence-texts.ts'
import { t } from './symptom-texts.ts'

/** What to do, as an order within a line: "hold Up". */
export const actWords = (act: TrialAct): string => actWordsWith(act, (control) => CONTROL_WORDS[control])

/** What the button does that carries out the part of an act that the app can; `null` where all of it is for the hands. */
export function applyLabel(act: TrialAct): string | null {
  if (act.kind === 'profile') return t.open({ profile: act.name })
  return act.kind === 'setting' ? lineStart(settingWords(act.set)) : null
}

/** The answer as it is heard. */
export function heardWords(kinds: readonly CauseKind<SymptomCause>[], profileName: string): string {
  const [first] = kinds
  return first === undefined
    ? t.noKind({ profile: profileName })
    : t.kinds({ n: kinds.length, does: first.likeliest.words })
}

/** With how much of what is left a remedy helps. */
export const servesWords = (serves: number, left: number): string =>
  serves < left ? t.helpsSome({ serves, left }) : t.helps({ left })
