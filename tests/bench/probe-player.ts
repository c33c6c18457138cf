import { boxOf } from '../../src/bench/box.ts'
import { Probing } from '../../src/bench/probe/probing.ts'
import type { Answer, Question } from '../../src/bench/probe/suspects.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { inputsIn, maskOf } from '../../src/port/pins.ts'
import type { InputMask } from '../../src/port/pins.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { leaveOpen } from '../../src/title/leave-open.ts'
import type { Step, Title } from '../../src/title/schema.ts'
import { padOf, playSeen } from './play-steps.ts'
import type { Chance } from './play-steps.ts'

/** Enough for every mode, and for every read of a frame. */
const READS = 48

/** The soonest that a program samples after its edge (port-facts), and a little. */
const AFTER = { minNs: 521, maxNs: 600, source: { kind: 'guessed' } } as const

const isSample = (step: Step): boolean => 'sample' in step

/** A title as a capture of its edges leaves it: what it samples, and how it tells six buttons, is not known. */
export function edgesOf(title: Title): Title {
  const modes = title.modes.map((mode) => ({
    ...mode,
    reads: mode.reads.map((read) => ({ ...read, steps: read.steps.filter((step) => !isSample(step)) })),
  }))
  return leaveOpen({ ...title, modes, sixButtons: { kind: 'never' } }, () => AFTER)
}

/** What acts in a title that does what is true, as the independent player has it. */
export function actsIn(truth: Title, { probe, mode, held }: Question, chance: Chance): InputMask {
  const { profile } = probe
  const { reply, idleReset } = boxOf(profile, truth, REFERENCE_ADAPTER)
  const pad = padOf(truth, profile.chart, { reply, idleReset }, new Set(inputsIn(held)), chance)
  const reads = playSeen(truth, pad, chance, READS).filter((read) => read.mode === mode)
  return maskOf(reads.flatMap(({ pressed }) => pressed))
}

export interface Probed {
  readonly found: Title
  readonly answers: readonly Answer[]
  readonly flashes: number
}

/** The same page by page, as the command line asks. */
export function probedByPages(
  present: Profile,
  title: Title,
  see: (question: Question, k: number) => InputMask,
): Probed {
  const probing = new Probing(present, title, REFERENCE_ADAPTER)
  const answers: Answer[] = []
  let flashes = 0
  for (;;) {
    const page = probing.page(answers)
    if (page === null || answers.length >= MOST_QUESTIONS)
      return { found: probing.found(answers), answers, flashes }
    flashes++
    for (const question of page.questions) answers.push({ question, acts: see(question, answers.length) })
  }
}

/** More than this nobody answers. */
export const MOST_QUESTIONS = 120

/**
 * A player who goes on until nothing more is asked.
 *
 * @param see what the player answers to a question, which is the so-manieth
 */
export function probed(
  present: Profile,
  title: Title,
  see: (question: Question, k: number) => InputMask,
): Probed {
  const probing = new Probing(present, title, REFERENCE_ADAPTER)
  const answers: Answer[] = []
  let flashes = 0
  for (;;) {
    const next = probing.next(answers)
    if (next.kind === 'done' || answers.length === MOST_QUESTIONS)
      return { found: probing.found(answers), answers, flashes }
    if (next.kind === 'flash') flashes++
    answers.push({ question: next.question, acts: see(next.question, answers.length) })
  }
}
