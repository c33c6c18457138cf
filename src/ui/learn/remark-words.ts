import type { Remark } from '../../pad/learn/remarks.ts'
import type { Aside } from '../../pad/learn/watch.ts'
import type { Place } from '../../pad/learn/places.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { askName } from './ask-words.ts'

const ASIDE: Readonly<Record<Aside, string>> = {
  counts: 'counts by itself',
  restless: 'never rests: a motion sensor, perhaps',
  stuck: 'stayed pressed',
  number: 'is one number with its neighbours',
  unsigned: 'is no number without sign',
}

const AXES = { x: 'left to right', y: 'up and down' } as const
const ENDS = { x: { low: 'left', high: 'right' }, y: { low: 'up', high: 'down' } } as const
const CROSSES = {
  dpad: 'The D-pad',
  'stick-left': 'The left stick',
  'stick-right': 'The right stick',
} as const

/**
 * A remark of the learn core, for people.
 *
 * @param label what a place is called
 */
export function remarkWords(remark: Remark, label: (place: Place) => string): string {
  const words = wordsOf(remark, label)
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}`
}

function wordsOf(remark: Remark, label: (place: Place) => string): string {
  switch (remark.kind) {
    case 'aside':
      return `${label(remark.place)} ${ASIDE[remark.why]}; it was left aside.`
    case 'two-places':
      return `${CONTROL_WORDS[remark.control]} shows in two places; ${label(remark.taken)} was taken, not ${label(remark.other)}.`
    case 'shared':
      return `${askName(remark.ask)} is in the same place as ${askName(remark.with)}: both are held together.`
    case 'weak':
      return `${CONTROL_WORDS[remark.control]} comes to ${remark.percent} % of its range only; it counts as held from half of that on.`
    case 'weak-end':
      return `The ${remark.stick} stick comes to ${remark.percent} % of its range only on its way ${ENDS[remark.axis][remark.end]}; that is taken for its end.`
    case 'drifts':
      return `The ${remark.stick} stick rests at places that lie ${remark.percent} % of its range apart (${AXES[remark.axis]}): it drifts. A larger inner limit in the profile helps.`
    case 'not-rolled':
      return `The ${remark.stick} stick was not rolled round: its ends are taken for those of the report.`
    case 'odd-hat':
      return `${CROSSES[remark.cross]} has positions that do not follow each other: its diagonals are lost.`
    case 'half-stick':
      return `Only one way of the ${remark.stick} stick was found.`
  }
}
