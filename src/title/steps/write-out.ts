import type { PlainStep, Read } from '../schema.ts'
import { clashTexts as t } from '../title-file-texts.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { clash } from './clash.ts'
import type { Clash } from './clash.ts'

/** One step of a read with its repeats written out. */
export interface WrittenStep {
  readonly step: PlainStep
  /** Of all steps of the read, from 0. */
  readonly index: number
  /** Where it stands in the file. */
  readonly at: Clash['at']
  readonly isRepeated: boolean
}

export function writeOut(read: Pick<Read, 'steps'>, at: Clash['at']): WrittenStep[] {
  const all: WrittenStep[] = []
  const add = (step: PlainStep, place: Clash['at'], isRepeated: boolean): void => {
    if (all.length >= TITLE_LIMITS.stepsPerRead)
      clash(place, t.mostSteps({ most: TITLE_LIMITS.stepsPerRead }))
    all.push({ step, index: all.length, at: place, isRepeated })
  }
  read.steps.forEach((step, k) => {
    const place = [...at, 'steps', k]
    if (!('repeat' in step)) return add(step, place, false)
    for (let turn = 0; turn < step.repeat; turn++)
      step.steps.forEach((one, j) => add(one, [...place, 'steps', j], step.repeat > 1))
  })
  return all
}
