import type { Counterexample } from '../../bench/judgement.ts'
import { inputList, ordinalWord, timeWord } from '../../bench/words.ts'

/** The counterexample in a sentence: what is held, where it is sampled, what is seen. */
export function exampleWords({ held, place, phantom, missed }: Counterexample): string {
  const holding = held.length > 0 ? `Holding ${inputList(held)}` : 'Holding nothing'
  const sees = [
    phantom.length > 0 && `sees ${inputList(phantom)}`,
    missed.length > 0 && `does not see ${inputList(missed)}`,
  ]
    .filter(Boolean)
    .join(' and ')
  const read = place.read > 1 ? `read ${place.read} of frame ${place.frame}, ` : ''
  return (
    `${holding}: ${read}the ${ordinalWord(place.cycle)} ${place.level}, ` +
    `${timeWord(place.afterEdgeNs)} after its edge and ${timeWord(place.atNs)} into the read, ${sees}.`
  )
}
