import { inputWord } from '../../port/input-texts.ts'
import { PINS } from '../../port/pins.ts'
import { rangeWords } from '../../title/known-figures.ts'
import type { Read, SampleStep, Step, Takes } from '../../title/schema.ts'
import { exactTimeWord, timeWord } from '../../words/figures.ts'
import { eitherWords, listWords, rowWords } from '../../words/lists.ts'
import { SOONEST_SAMPLE_NS } from './step-times.ts'
import { rowTexts, t, whatTexts } from './steps-texts.ts'

/** What else a sample can be taken for. */
export const insteadWords = ({ possible = [] }: SampleStep): string =>
  rowTexts.possible({ n: possible.length, takes: eitherWords(possible.map(takesWords)) })

/** "1 Up, 2 Down, select C". */
export function takesWords(takes: Takes): string {
  const words = PINS.flatMap((pin) => {
    const taken = takes[pin]
    if (taken === undefined) return []
    if (typeof taken === 'string') return [t.taken({ pin, input: inputWord(taken) })]
    return [t.takenIf({ pin, input: inputWord(taken.input), name: taken.ifAgrees })]
  })
  if (takes.select) words.push(t.mixed({ input: inputWord(takes.select) }))
  return words.length === 0 ? t.takesNothing : rowWords(words)
}

/** What a step does, in a word. */
export const whatWord = (step: Step): string =>
  'repeat' in step
    ? t.times({ n: step.repeat })
    : 'sample' in step
      ? whatTexts.sample
      : step.waits
        ? t.waits
        : whatTexts[step.select]

/** When a step comes. */
export const whenWords = (step: Exclude<Step, { readonly repeat: number }>): string =>
  t.after({ since: step.since, range: rangeWords(step.after) })

/** What else there is to a sample: its name, and when it counts. */
export const sampleWords = ({ sample, name }: SampleStep): string =>
  name === undefined ? takesWords(sample) : t.named({ name, takes: takesWords(sample) })

/** What is asked where a sample is typed that no program takes so soon. */
export const tooSoonWords = (soonestNs: number): string =>
  t.tooSoon({ found: timeWord(soonestNs), least: timeWord(SOONEST_SAMPLE_NS) })

/** How a read starts, in a few words. */
export function startsWords({ starts }: Read): string {
  if (starts.kind === 'interval') return t.startsAfter({ range: rangeWords(starts.after) })
  const times = listWords(starts.offsetsNs.map(exactTimeWord))
  return starts.everyFrames === 1 ? t.starts({ times }) : t.startsEvery({ times, n: starts.everyFrames })
}
