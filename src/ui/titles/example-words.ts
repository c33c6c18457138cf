import type { Counterexample, Judgement } from '../../bench/judgement.ts'
import { inputList } from '../../port/input-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { ordinalWord } from '../../words/number-texts.ts'

/** The counterexample in a sentence: what is held, where it is sampled, what is seen. */
export function exampleWords({ held, place, phantom, missed, cause }: Counterexample): string {
  const holding = held.length > 0 ? `Holding ${inputList(held)}` : 'Holding nothing'
  // No look is to blame there: every one of them is right.
  if (cause === 'opposite') return `${holding}: both reach it.`
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

/** Which sample a tight title has the least to spare at, and what comes too near to it. */
export function tightWords({ frame, read, cycle, level, atNs, afterEdgeNs, by }: TightPlace): string {
  const where = read > 1 || frame > 1 ? ` in read ${read} of frame ${frame}` : ''
  const near = by === 'reset' ? 'the idle reset comes close to it' : 'its edge is close before it'
  return (
    `The tight one is the sample in the ${ordinalWord(cycle)} ${level}${where}, ${timeWord(afterEdgeNs)} after its edge and ` +
    `${timeWord(atNs)} into the read: ${near}.`
  )
}

type TightPlace = NonNullable<Judgement['tightest']>
