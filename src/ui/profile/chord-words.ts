import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { inputList } from '../../port/input-texts.ts'
import { listWords } from '../../words/lists.ts'
import type { Control } from '../../pad/controls.ts'
import { INPUTS } from '../../port/pins.ts'
import { longestWaitMs } from '../../profile/chords.ts'
import type { Chord, Mapping } from '../../profile/schema.ts'
import { t } from './profile-texts.ts'

/** What chords cost, and which one to begin with. */

/** What a control presses when it is pressed alone; its own name where that is nothing. */
function aloneWord(mapping: Mapping, control: Control): string {
  const inputs = INPUTS.filter((input) => mapping[input].includes(control))
  const word = CONTROL_WORDS[control]
  return inputs.length > 0 ? t.alone({ inputs: inputList(inputs), control: word }) : word
}

/** What a chord makes of its controls when they are pressed one by one, a sentence each: "A (Face west) alone is delayed by up to 30 ms." */
export function costWords(chord: Chord, chords: readonly Chord[], mapping: Mapping): string[] {
  const waits = new Set(chord.held.map((control) => longestWaitMs(chords, control)))
  return [...waits].map((waitMs) => {
    const controls = chord.held.filter((control) => longestWaitMs(chords, control) === waitMs)
    const who = {
      n: controls.length,
      controls: listWords(controls.map((control) => aloneWord(mapping, control))),
    }
    return waitMs === 0 ? t.costsNothing(who) : t.costs({ ...who, wait: waitMs })
  })
}

const PAIRS: readonly (readonly [Control, Control])[] = [
  ['face-south', 'face-east'],
  ['face-west', 'face-north'],
  ['face-west', 'face-south'],
  ['face-north', 'face-east'],
  ['shoulder-left', 'shoulder-right'],
  ['trigger-left', 'trigger-right'],
  ['shoulder-left', 'trigger-left'],
  ['shoulder-right', 'trigger-right'],
]

/** Both buttons of a pair come down within about this long (common practice, no source). */
const USUAL_WITHIN_MS = 30

/** A chord to begin with, on a pair that no chord of the list has. */
export function newChord(chords: readonly Chord[]): Chord {
  const isFree = (pair: readonly Control[]) =>
    !chords.some(({ held }) => held.length === pair.length && pair.every((control) => held.includes(control)))
  const held = PAIRS.find(isFree) ?? PAIRS[0] ?? []
  return { held: [...held], withinMs: USUAL_WITHIN_MS, inputs: ['start'] }
}
