import type { Phase } from '../../port/chart.ts'
import { INPUTS, inputBit, maskOf } from '../../port/pins.ts'
import type { Input, InputMask } from '../../port/pins.ts'
import type { OppositePolicy, Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import { clauseWords } from '../../words/sentence-texts.ts'
import type { JudgeOptions } from '../judgement.ts'
import { courseOf } from '../play/course.ts'
import { playReads, seen } from './play-reads.ts'
import type { SampledRead } from './play-reads.ts'
import { symptomTexts } from './symptom-texts.ts'
import { doubtfulTimings, usualTiming } from './timings.ts'

export type Symptom = Extract<keyof typeof symptomTexts, string>

export const SYMPTOMS: Readonly<Record<Symptom, string>> = symptomTexts
export const SYMPTOM_NAMES = Object.keys(SYMPTOMS) as Symptom[]
export const isSymptom = (word: string): word is Symptom => Object.hasOwn(SYMPTOMS, word)

/** "nothing does anything at all; opposite directions at once confuse it". */
export const seenWords = (saw: readonly Symptom[]): string => clauseWords(saw.map((name) => SYMPTOMS[name]))

const DIRECTIONS = maskOf(['up', 'down', 'left', 'right'])
const EXTRAS = maskOf(['x', 'y', 'z', 'mode'])
const START = inputBit('start')

/** Whether a control of the profile presses this input. */
export const presses = ({ mapping, layers }: Profile, input: Input): boolean =>
  mapping[input].length > 0 || layers.some((layer) => (layer.mapping[input]?.length ?? 0) > 0)

/** Pairs of opposite directions that both reach the port. */
export function openPairs(profile: Profile): (readonly [Input, Input])[] {
  const both = (policy: OppositePolicy, pair: readonly [Input, Input]) =>
    policy === 'as-held' && pair.every((input) => presses(profile, input)) ? [pair] : []
  const { vertical, horizontal } = profile.opposite
  return [...both(vertical, ['up', 'down']), ...both(horizontal, ['left', 'right'])]
}

/**
 * What somebody in front of a title would see with this profile: with every time at its middle, and where nothing is wrong
 * then, with the times that are in doubt anywhere in their ranges or as far beyond as a read is called tight.
 */
export function symptomsOf(profile: Profile, title: Title, options: JudgeOptions): ReadonlySet<Symptom> {
  const course = courseOf(profile, title, options.adapter)
  const usual = symptomsAt(
    profile,
    title,
    playReads(profile, title, usualTiming(profile, title, options), course),
  )
  if (faults(usual)) return usual
  const known = new Set<string>()
  const keyOf = phaseKeys()
  const later = doubtfulTimings(profile, title, options).flatMap((timing) => {
    const reads = playReads(profile, title, timing, course)
    const key = keyOf(reads)
    if (known.has(key)) return []
    known.add(key)
    return [...symptomsAt(profile, title, reads)]
  })
  const grown = new Set([...usual, ...later])
  return grown.size > usual.size ? grown.add('later') : usual
}

/**
 * What no timing brings about: a title does not know the extra buttons, or nothing but them, or does not cope with opposite
 * directions.
 */
const LASTING: readonly Symptom[] = ['extras-dead', 'nothing', 'opposites']
const faults = (symptoms: ReadonlySet<Symptom>): boolean =>
  [...symptoms].some((symptom) => !LASTING.includes(symptom))

/** A text for what a title sampled, the same for the same phases. Most timings of a title sample the same ones. */
function phaseKeys(): (reads: readonly SampledRead[]) => string {
  const numbers = new Map<Phase, number>()
  const number = (phase: Phase) => {
    const known = numbers.get(phase) ?? numbers.size
    numbers.set(phase, known)
    return known
  }
  return (reads) =>
    reads
      .flatMap(({ samples }) =>
        samples.map(({ sample, phase, level }) => [sample, number(phase), level].join(' ')),
      )
      .join()
}

function symptomsAt(profile: Profile, title: Title, reads: readonly SampledRead[]): Set<Symptom> {
  const symptoms = new Set<Symptom>()
  const show = (symptom: Symptom, inputs: InputMask) => {
    if (inputs !== 0) symptoms.add(symptom)
  }
  const comes = (inputs: InputMask, direction: Symptom, button: Symptom) => {
    show(direction, inputs & DIRECTIONS)
    show(button, inputs & ~DIRECTIONS & ~START)
    show('pauses', inputs & START)
  }
  const free = seen(title, reads, 0).pressed
  comes(free, 'walks', 'fires')

  let any = 0
  const alone = (input: Input): InputMask => {
    const held = inputBit(input)
    const { pressed, flickering, sampled } = seen(title, reads, held)
    const lost = held & ~pressed
    show('extras-dead', lost & EXTRAS)
    show('dead', lost & ~EXTRAS & sampled)
    show('drops', held & flickering & ~free)
    if (presses(profile, input)) comes(pressed & ~held & ~free, 'sticks', 'jumps')
    any |= pressed
    return pressed
  }
  const pressedBy = new Map(INPUTS.map((input) => [input, alone(input)]))
  if (any === 0) symptoms.add('nothing')

  for (const pair of openPairs(profile)) {
    const both = maskOf(pair)
    const [one = 0, other = 0] = pair.map((input) => pressedBy.get(input))
    const { pressed } = seen(title, reads, both)
    // More held never means less pressed: all that both together can do is bring what neither brings alone.
    const confused = pressed & ~(one | other)
    if (!title.takesOpposite || confused !== 0) symptoms.add('opposites')
  }
  return symptoms
}
