import type { InputSample, PlayedFrame } from './play-repeat.ts'
import { inputWord } from '../../port/input-texts.ts'
import { eitherWords } from '../../words/lists.ts'
import { numberWord } from '../../words/number-texts.ts'
import { figure } from '../../words/texts.ts'
import { findingTexts, seenTexts as t } from './repeat-texts.ts'
import type { MomentSeen, RepeatFinding, RepeatSeen } from './seen.ts'

/** How what a title sees of an auto-repeat is said and written. */

/** A finding in a table. */
export const FINDING_WORDS: Readonly<Record<RepeatFinding, string>> = findingTexts

const PRESSED = '#'
const RELEASED = '.'

/** Samples in order of time, a sign each: `#` pressed, `.` released. */
export const sampleSigns = (samples: readonly InputSample[]): string =>
  samples.map(({ pressed }) => (pressed ? PRESSED : RELEASED)).join('')

/** Frames apart from each other: `#. .# ##`; a frame without a sample is `-`. */
export const frameSigns = (frames: readonly PlayedFrame[]): string =>
  frames.map(({ samples }) => sampleSigns(samples) || '-').join(' ')

/** Presses a second, as a technician reads them. */
export const rateWord = (hz: number): string => `${figure(hz, 2)} Hz`

/** What a title sees, and why, in a few sentences. */
export const repeatSentence = (seen: RepeatSeen): string =>
  [whatIsSeen(seen), ...why(seen), ...modeSentences(seen)].join(' ')

/** Which mode is played, where a title has several. */
export const modeSentences = ({ mode }: Pick<RepeatSeen, 'mode'>): string[] =>
  mode === null ? [] : [t.mode({ mode })]

function whatIsSeen({ input: of, finding, moments, askedHz, rate }: RepeatSeen): string {
  const input = inputWord(of)
  const [first] = moments
  if (first === undefined) return t.none({ input })
  const share = {
    input,
    pressed: first.pressedSamples,
    samples: first.samples,
    rate: rateWord(first.pressesHz),
  }
  switch (finding) {
    case 'as-asked':
      return t.asAsked(share)
    case 'other-rate':
      return t.otherRate({ ...share, asked: rateWord(askedHz) })
    case 'other-share': {
      const askedReads = rate.pressedReads + rate.releasedReads
      return t.otherShare({ ...share, askedPressed: rate.pressedReads, askedReads })
    }
    case 'uneven':
      return t.uneven(share)
    case 'same-each-frame':
      return t.sameEachFrame({ input })
    case 'always-pressed':
      return t.alwaysPressed({ input })
    case 'never-pressed':
      return t.neverPressed({ input })
    case 'by-moment':
      return t.byMoment({ input, moments: eitherWords(moments.map(momentWords)) })
    case 'not-looked-at':
      return t.notSampled({ input })
  }
}

const momentWords = ({ finding, pressedSamples, samples }: MomentSeen): string =>
  t.moment({ finding: FINDING_WORDS[finding], pressed: pressedSamples, samples })

function why({ finding, moments, titleReadsPerFrame: n, countedReadsPerFrame: k }: RepeatSeen): string[] {
  if (finding === 'as-asked' || finding === 'not-looked-at') return []
  if (moments.some(({ splitReads }) => splitReads)) return [t.split]
  const reads = numberWord(n)
  if (k === 0) return [t.noReset({ n, reads })]
  if (k === n) return [t.eachRead({ n, reads })]
  const resets = Number.isInteger(k) ? numberWord(k) : figure(k, 2)
  return [t.otherResets({ n, k, reads, resets })]
}
