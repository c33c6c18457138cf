import type { Counterexample, Judgement } from '../../bench/judgement.ts'
import { cellWord, inputList } from '../../port/input-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { t } from './example-texts.ts'

/** The counterexample in a sentence: what is held, where it is sampled, what is seen. */
export function exampleWords({ held: inputs, place, phantom, missed, cause }: Counterexample): string {
  const held = inputs.length > 0 ? inputList(inputs) : t.nothing
  // No sample is to blame there: every one of them is right.
  if (cause === 'opposite') return t.opposite({ held })
  const effect = phantom.length === 0 ? 'misses' : missed.length === 0 ? 'sees' : 'sees-misses'
  return t.example({
    effect,
    held,
    phantom: inputList(phantom),
    missed: inputList(missed),
    ...placeValues(place),
  })
}

/** Which sample of a tight title has the least margin, and what comes too near to it. */
export const tightWords = (place: Tightest): string => t.tight({ by: place.by, ...placeValues(place) })

type Tightest = NonNullable<Judgement['tightest']>

/** Which read is said from the second one on. */
const placeValues = ({ frame, read, cycle, level, afterEdgeNs, atNs }: Counterexample['place']) => ({
  later: read > 1 || frame > 1,
  read,
  frame,
  cycle,
  level: cellWord(level),
  after: timeWord(afterEdgeNs),
  at: timeWord(atNs),
})
