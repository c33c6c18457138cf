import { liesSomewhere } from '../title/guessed-times.ts'
import type { KnownFigure } from '../title/known-figures.ts'
import { exactTimeWord } from '../words/figures.ts'
import { outcomeTexts } from '../words/outcome-texts.ts'
import { lineStart } from '../words/sentence-texts.ts'
import type { Stretch } from './along.ts'
import type { Doubt, HangsOn, Judgement, Verdict } from './judgement.ts'
import { VERDICTS } from './judgement.ts'
import { t } from './turn-texts.ts'
import type { Turn, Turns } from './turns.ts'

/** What an undecided verdict hangs on, both sides as conditions: what it would have to do to be clean, and what makes it a misread most easily. */
export const conditionWords = ({ misreadIf, cleanIf }: HangsOn): string[] => [
  ...(cleanIf === '' || misreadIf.length === 0 ? [] : [t.cleanIf({ clean: cleanIf })]),
  ...misreadWords(misreadIf),
]

function misreadWords([first, ...others]: readonly Doubt[]): string[] {
  if (first === undefined) return []
  const { condition } = first
  return [others.length === 0 ? t.misreadIf({ condition }) : t.misreadIfMore({ condition, n: others.length })]
}

const isBetter = (now: Verdict, then: Verdict): boolean => VERDICTS.indexOf(then) < VERDICTS.indexOf(now)

const turnWords = (now: Verdict, { end, ns, then }: Turn): string =>
  t.turn({
    end,
    better: isBetter(now, then),
    Now: lineStart(outcomeTexts[now]),
    time: exactTimeWord(ns),
    then: outcomeTexts[then],
  })

/** What would change the verdict, where it hangs on a figure; empty where it does not, or where that is not known yet. */
export function changeWords(
  { about }: Pick<KnownFigure, 'about'>,
  { verdict, hangsOn }: Pick<Judgement, 'verdict' | 'hangsOn'>,
  turns: Turns | null,
): string {
  if (about === null) return ''
  const doubts = (kind: Doubt['assumes']['kind']): string =>
    misreadWords(hangsOn?.misreadIf.filter(({ assumes }) => assumes.kind === kind) ?? []).join(' ')
  switch (about.kind) {
    case 'samples':
      return doubts('sample')
    case 'six-buttons':
      return doubts('six-buttons')
    case 'time': {
      const turn = turns?.[about.number] ?? null
      if (turn !== null) return turnWords(verdict, turn)
      return liesSomewhere(about.figure.source) ? doubts('times') : ''
    }
  }
}

/** "0 ns to 178 ns". */
export const stretchWords = ({ fromNs, untilNs }: Stretch): string =>
  t.along({ from: exactTimeWord(fromNs), until: exactTimeWord(untilNs) })
