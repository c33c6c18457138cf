import { notCoveredWords } from '../bench/decide-words.ts'
import { isRight } from '../bench/judgement.ts'
import type { HangsOn, Judgement } from '../bench/judgement.ts'
import { inputList } from '../port/input-texts.ts'
import type { Input } from '../port/pins.ts'
import { withoutRepeats } from '../words/sentences.ts'
import { outcomeTexts } from '../words/outcome-texts.ts'
import { EXIT } from './fail.ts'
import { pairTexts as t } from './output-texts.ts'

/** How a title reads a profile, as several commands tell it: the verdict in a column of its own. */

const VERDICT_WIDTH = 8

/** A line under a verdict. */
export const indented = (text: string): string => ' '.repeat(VERDICT_WIDTH) + text

/** The verdict on a title and a profile, and the reason for it. */
export const pairLines = (
  { verdict, reason }: Pick<Judgement, 'verdict' | 'reason'>,
  title: string,
  profile: string,
): string[] => [
  `${outcomeTexts[verdict]} `.padEnd(VERDICT_WIDTH) + t.pair({ title, profile }),
  indented(reason),
]

export const heldWords = (held: readonly Input[]): string =>
  held.length === 0 ? t.nothingHeld : t.held({ inputs: inputList(held) })

/** Doubts that are told one by one; the reason has told the first. */
const MOST_DOUBTS = 6

/** What an undecided verdict hangs on besides what its reason says, and the trial that decides. */
export function hangsOnLines(hangsOn: HangsOn | null): string[] {
  if (hangsOn === null) return []
  const told = hangsOn.misreadIf.slice(0, MOST_DOUBTS)
  const reasons = withoutRepeats(told.map(({ reason }) => reason))
  return [
    ...told
      .map(({ condition }, k) =>
        reasons[k] ? t.misreadIf({ condition, reason: reasons[k] }) : t.misreadAlike({ condition }),
      )
      .slice(1),
    ...(hangsOn.trial === null ? [] : [t.toDecide({ trial: hangsOn.trial.sentence })]),
  ]
}

/** What a command ends with that has judged: a misread outweighs what is not decided. */
export function exitOf(judged: readonly Pick<Judgement, 'verdict'>[]): number {
  if (judged.some(({ verdict }) => verdict === 'misread')) return EXIT.no
  return judged.every(isRight) ? EXIT.fine : EXIT.undecided
}

/** What stands before figures of a title that is not known to read right; nothing where it does. */
export function notCoveredLines(judgement: Judgement, title: string, profile: string): string[] {
  const words = notCoveredWords(judgement)
  return words === null ? [] : [...pairLines(judgement, title, profile), indented(words), '']
}
