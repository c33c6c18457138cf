import { phaseAt } from '../port/chart.ts'
import type { Phase } from '../port/chart.ts'
import { PINS } from '../port/pins.ts'
import type { Pin } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import type { Counterexample, Judgement, SamplePlace } from './judgement.ts'
import { cellWord, inputList } from '../port/input-texts.ts'
import { timeWord } from '../words/figures.ts'
import { listWords } from '../words/lists.ts'
import { numberWord, ordinalWord } from '../words/number-texts.ts'

/**
 * The verdict in one or two sentences, as a technician would put it.
 *
 * @param slowestNs the longest time that a reply may take
 */
export function reasonFor(
  judgement: Omit<Judgement, 'reason'>,
  profile: Profile,
  title: Title,
  slowestNs: number,
): string {
  if (judgement.counterexample !== null)
    return misreadReason(judgement.counterexample, profile, title, slowestNs)
  const { marginNs, tightest, unseen, sixButtons } = judgement
  const said = [marginReason(marginNs, tightest, judgement.verdict === 'tight', slowestNs)]
  if (title.rest === 'low') said.push('rests low')
  if (title.drive.kind === 'released') said.push('releases select')
  if (sixButtons === true)
    said.push(unseen.length === 0 ? 'sees all that the profile presses' : 'knows six buttons')
  const sentence = `${said.join(', ')}.`
  return title.fragile && judgement.verdict === 'clean'
    ? `${sentence} Marked fragile: try it before the evening.`
    : sentence
}

function marginReason(
  marginNs: number | null,
  tightest: Judgement['tightest'],
  tight: boolean,
  slowestNs: number,
): string {
  if (marginNs === null || tightest === null) return 'No timing can hurt'
  const spare = `${timeWord(marginNs)} to spare`
  if (!tight) return spare
  if (tightest.by === 'reset') return `All hangs on the idle reset between two reads, ${spare}`
  return `Samples ${timeWord(tightest.afterEdgeNs)} after the edge, where the reply may take ${timeWord(slowestNs)}: ${spare}`
}

/** What goes wrong in an example, why, and what the title makes of it. */
export function misreadReason(
  example: Counterexample,
  profile: Profile,
  title: Title,
  slowestNs: number,
): string {
  const { place } = example
  switch (example.cause) {
    case 'settling': {
      const shortNs = example.shortNs ?? slowestNs - place.afterEdgeNs
      return (
        `Samples ${timeWord(place.afterEdgeNs)} after the edge; the reply may take ${timeWord(slowestNs)}, so it is ` +
        `${shortNs === 0 ? 'on the edge of what is safe' : `${timeWord(shortNs)} too early`}. ` +
        `It still reads the phase before: ${consequence(example)}.`
      )
    }
    case 'slow-rise':
      return (
        `Releases select and samples ${timeWord(place.afterEdgeNs)} later, before the line has risen. ` +
        `It reads the low phase in the place of the high one: ${consequence(example)}.`
      )
    case 'belief':
      return (
        `With ${inputList(example.held)} held together the pad looks like one with six buttons. ` +
        `It then reads the extra buttons where there are none: ${consequence(example)}.`
      )
    case 'opposite':
      return `Does not cope with ${inputList(example.held)} at once, and the profile lets both through.`
    case 'count': {
      const phase = phaseAt(profile.chart, place.rises, place.shownLevel)
      const what = `the ${whichPhase(title, place)} ${contents(phase, example.pins)}`
      return `${howTheCountCame(title, place)} ${capital(what)}; ${consequence(example)}.`
    }
  }
}

/** Whether the rises came within the read, or were left over from earlier ones. */
function howTheCountCame(title: Title, place: SamplePlace): string {
  const own = place.cycle - (title.rest === 'high' ? 1 : 0)
  if (place.rises < own) {
    return title.drive.kind === 'released'
      ? 'Releases select for too short a time, so rises are lost.'
      : 'The idle reset comes in the middle of a read.'
  }
  if (place.rises === own) {
    const cycles = title.cyclesPerRead
    return cycles === 1 ? 'Reads one cycle.' : `Reads ${numberWord(cycles)} cycles in one go.`
  }
  const reads = title.readOffsetsNs.length
  return place.read === 1
    ? 'No idle reset comes between two frames, so the count goes on.'
    : `Reads ${numberWord(reads)} times a frame with no idle reset in between, so the count goes on.`
}

/** "third low", counted as a title would count from its resting level. */
const whichPhase = (title: Title, place: SamplePlace): string =>
  `${ordinalWord(place.rises + (title.rest === 'high' ? 1 : 0))} ${place.shownLevel}`

const DIRECTION_PINS: readonly Pin[] = [1, 2, 3, 4]

function contents(phase: Phase, pins: readonly Pin[]): string {
  if (DIRECTION_PINS.every((pin) => phase[pin] === 'low')) return 'answers “six buttons here”'
  if (DIRECTION_PINS.every((pin) => phase[pin] === 'high')) return 'answers with the end mark'
  const carried = PINS.filter((pin) => pins.includes(pin)).map(
    (pin) => `${cellWord(phase[pin])} on pin ${pin}`,
  )
  return `carries ${listWords(carried)}`
}

function consequence({ held, phantom, missed }: Counterexample): string {
  const said: string[] = []
  if (phantom.length > 0 && held.length === 0) said.push(`it takes that for ${inputList(phantom)}`)
  else if (phantom.length > 0) said.push(`with ${inputList(held)} held it sees ${inputList(phantom)}`)
  if (missed.length > 0) said.push(`it misses ${inputList(missed)}`)
  return said.join(' and ')
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
