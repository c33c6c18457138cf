import type { LearnView } from '../../pad/learn/learner.ts'
import type { Place } from '../../pad/learn/places.ts'
import { TURNS_WANTED } from '../../pad/learn/roll.ts'
import { askName } from './ask-words.ts'

/** So many places are called by name; of the others it is told how many they are. */
const MOST_NAMED = 4

/**
 * What happens now, beneath what is asked.
 *
 * @param label what a place is called
 */
export function stateWords(view: LearnView, label: (place: Place) => string): string {
  const { phase, step, ask, seen, besides } = view
  if (phase === 'lost')
    return `Nothing is lost: ${view.answers.length} of ${view.of} are learned, and stay so.`
  if (phase === 'rest') {
    return view.silent
      ? 'This pad says nothing while nobody presses.'
      : 'The pad is watched at rest: what moves by itself is told from what you press. A button pressed meanwhile begins it anew.'
  }
  if (step === 'let-go') return 'Let go …'
  if (step === 'taken') {
    const another = ask?.kind === 'push' ? 'Push it as asked, straight' : 'Press another one'
    return `That is already ${view.takenBy ? askName(view.takenBy) : 'taken'}. ${another}, or keep it for both.`
  }
  if (step === 'two' && seen && besides) {
    const both = `${label(seen)} and ${label(besides)} moved at once.`
    return ask?.kind === 'push'
      ? `${both} Push once more, straight; if they always move together, the first is taken.`
      : `${both} Press one button only; if one button moves both, press it once more.`
  }
  if (ask?.kind === 'roll') {
    const turns = Math.min(view.turns, TURNS_WANTED)
    return `Round ${turns} of ${TURNS_WANTED}.${turns === 0 ? ' Keep it at its edge, and go one way round.' : ''}`
  }
  if (step !== 'pressed') return 'Waiting for it.'
  if (view.long)
    return `${seen ? label(seen) : 'Something'} stays away from rest. Let go; if nothing is held, choose “Rest again”.`
  return seen ? `Seen: ${label(seen)}. Let go.` : 'Something moves …'
}

/** What is not listened to, so that pressing it does nothing; bytes without a description are passed over. */
export function asideWords({ phase, aside }: LearnView, label: (place: Place) => string): string {
  const names = aside.filter(({ kind }) => !kind.startsWith('raw-')).map(label)
  if (phase !== 'ask' || names.length === 0) return ''
  const named = names.length > MOST_NAMED ? names.slice(0, MOST_NAMED - 1) : names
  const more = names.length - named.length
  const list = [...named, ...(more > 0 ? [`${more} more`] : [])].join(', ')
  return `Not listened to, for it moved by itself or stayed pressed: ${list}. If you touched it, choose “Rest again”.`
}
