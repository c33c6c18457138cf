import type { LearnView } from '../../pad/learn/learner.ts'
import type { ReportPlace } from '../../pad/learn/places.ts'
import { TURNS_WANTED } from '../../pad/learn/roll.ts'
import { rowWords } from '../../words/lists.ts'
import { askName } from './ask-words.ts'
import { t } from './learn-texts.ts'

/** So many places are called by name; of the others it is told how many they are. */
const MOST_NAMED = 4

/**
 * What happens now, beneath what is asked.
 *
 * @param label what a place is called
 */
export function stateWords(view: LearnView, label: (place: ReportPlace) => string): string {
  const { phase, step, ask, seen, besides } = view
  if (phase === 'lost') return t.nothingLost({ learned: view.answers.length, of: view.of })
  if (phase === 'rest') return t.restCheck({ silent: view.silent })
  if (step === 'let-go') return t.letGo
  const push = ask?.kind === 'push'
  if (step === 'taken')
    return t.taken({ push, what: view.takenBy ? askName(view.takenBy) : t.anotherControl })
  if (step === 'two' && seen && besides) return t.two({ push, one: label(seen), other: label(besides) })
  if (ask?.kind === 'roll') return t.round({ turns: Math.min(view.turns, TURNS_WANTED), of: TURNS_WANTED })
  if (step !== 'pressed') return t.waiting
  const again = t.repeatRest
  if (view.long) return seen ? t.staysAway({ place: label(seen), again }) : t.somethingStaysAway({ again })
  return seen ? t.seen({ place: label(seen) }) : t.moves
}

/** What is not listened to, so that pressing it does nothing; bytes without a description are passed over. */
export function asideWords({ phase, aside }: LearnView, label: (place: ReportPlace) => string): string {
  const names = aside.filter(({ kind }) => !kind.startsWith('raw-')).map(label)
  if (phase !== 'ask' || names.length === 0) return ''
  const named = names.length > MOST_NAMED ? names.slice(0, MOST_NAMED - 1) : names
  const more = names.length - named.length
  const places = rowWords([...named, ...(more > 0 ? [t.more({ n: more })] : [])])
  return t.ignored({ places, again: t.repeatRest })
}
