import type { InputSample, PlayedFrame } from './play-repeat.ts'
import { inputWord } from '../../port/input-texts.ts'
import { numberWord } from '../../words/number-texts.ts'
import type { MomentSeen, RepeatFinding, RepeatSeen } from './seen.ts'

/** How what a title sees of a steady repeat is said and written. */

/** A finding in a table. */
export const FINDING_WORDS: Readonly<Record<RepeatFinding, string>> = {
  'as-asked': 'as asked',
  'other-rate': 'other rate',
  'other-share': 'other share',
  uneven: 'uneven',
  'same-each-frame': 'same in each frame',
  'always-pressed': 'always pressed',
  'never-pressed': 'never pressed',
  'by-moment': 'by the moment of the press',
  'not-looked-at': 'not sampled',
}

const PRESSED = '#'
const RELEASED = '.'

/** Samples in order of time, a sign each: `#` pressed, `.` released. */
export const sampleSigns = (samples: readonly InputSample[]): string =>
  samples.map(({ pressed }) => (pressed ? PRESSED : RELEASED)).join('')

/** Frames apart from each other: `#. .# ##`; a frame without a sample is `-`. */
export const frameSigns = (frames: readonly PlayedFrame[]): string =>
  frames.map(({ samples }) => sampleSigns(samples) || '-').join(' ')

const times = (count: number, noun: string) => `${numberWord(count)} ${noun}${count === 1 ? '' : 's'}`

/** Presses a second, as a technician reads them. */
export const rateWord = (hz: number): string => `${hz.toFixed(2)} Hz`

const capital = (sentence: string) => sentence.charAt(0).toUpperCase() + sentence.slice(1)

/** What a title sees, and why, in one or two sentences. */
export function repeatSentence(seen: RepeatSeen): string {
  return [capital(`${whatIsSeen(seen)}.`), why(seen)].filter((part) => part !== '').join(' ')
}

function whatIsSeen({ input, finding, moments, askedHz, rate }: RepeatSeen): string {
  const word = inputWord(input)
  const [first] = moments
  if (first === undefined) return `${word} is not sampled`
  const share = `pressed in ${first.pressedSamples} of ${first.samples} samples, ${rateWord(first.pressesHz)}`
  switch (finding) {
    case 'as-asked':
      return `${word} is seen as asked: ${share}`
    case 'other-rate':
      return `${word} is seen ${share}; moving on with each read it would be ${rateWord(askedHz)}`
    case 'other-share':
      return `${word} is seen ${share}; asked for are ${rate.pressedReads} of ${rate.pressedReads + rate.releasedReads}`
    case 'uneven':
      return `${word} is seen unevenly: ${share}, in runs of different lengths`
    case 'same-each-frame':
      return `every frame shows ${word} the same, pressed in some samples and released in others; a title that goes by one of them sees no change`
    case 'always-pressed':
      return `${word} is never seen released`
    case 'never-pressed':
      return `${word} is never seen pressed`
    case 'by-moment':
      return `what is seen of ${word} hangs on the moment of the press: ${moments.map(pictureWords).join(', or ')}`
    case 'not-looked-at':
      return `${word} is not sampled in these reads`
  }
}

const pictureWords = ({ finding, pressedSamples, samples }: MomentSeen): string =>
  `${FINDING_WORDS[finding]} (pressed in ${pressedSamples} of ${samples} samples)`

function why({ finding, moments, titleReadsPerFrame, countedReadsPerFrame: counted }: RepeatSeen): string {
  if (finding === 'as-asked' || finding === 'not-looked-at') return ''
  if (moments.some(({ splitReads }) => splitReads))
    return 'The samples of one read differ, so something is misread: see to the verdict of the pair first.'
  const reads = `The title makes ${times(titleReadsPerFrame, 'read')} a frame`
  if (counted === 0) return `${reads}, but no idle reset ever comes, so the repeat does not move on.`
  if (counted === titleReadsPerFrame) return `${reads}, and the repeat moves on with each.`
  const idle = Number.isInteger(counted) ? times(counted, 'idle reset') : `${counted.toFixed(2)} idle resets`
  return `${reads}, but there ${counted === 1 ? 'is' : 'are'} ${idle} in it, and the repeat moves on with those.`
}
