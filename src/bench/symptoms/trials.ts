import { controlMask } from '../../pad/controls.ts'
import type { Control } from '../../pad/controls.ts'
import { INPUTS, inputsIn, maskOf } from '../../port/pins.ts'
import type { Input } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { JudgeOptions } from '../judgement.ts'
import { keptToFirstCycle } from '../plan/first-cycle.ts'
import { firstCycleHold } from '../plan/holds.ts'
import { inputList } from '../../port/input-texts.ts'
import type { ReadPattern } from './patterns.ts'
import { courseOf } from '../play/course.ts'
import { playReads, seen } from './play-reads.ts'
import type { SampledRead } from './play-reads.ts'
import { trialTexts as t } from './symptom-texts.ts'
import { openPairs, presses, seenWords, symptomsOf } from './symptoms.ts'
import type { Symptom } from './symptoms.ts'
import { usualTiming } from './timings.ts'

/** A profile by the name that people know it by. */
export interface NamedProfile {
  readonly name: string
  readonly profile: Profile
}

/** Fields of the present profile that can be set otherwise. */
export type Setting = Partial<Pick<Profile, 'opposite' | 'delayNs' | 'idleResetNs'>>

/** Something that people can do about a symptom, and what they do it with. */
export type Remedy =
  | { readonly kind: 'power-on'; readonly held: readonly Control[] }
  | { readonly kind: 'setting'; readonly set: Setting }
  | { readonly kind: 'profile'; readonly name: string }

export type TrialAct = { readonly kind: 'hold'; readonly held: readonly Input[] } | Remedy

/** An act that people can carry out, and what a read pattern lets them see then. */
export interface Trial {
  readonly act: TrialAct
  /** What it takes of a person, against holding one button. */
  readonly cost: number
  /** What is seen then, in words; two patterns that give the same words cannot be told apart by it. */
  outcome(title: Title): string
}

/** A remedy and the profile that the adapter answers with once it is applied. */
export interface RemedyProfile {
  readonly remedy: Remedy
  readonly profile: Profile
  /** What a title shows then. */
  readonly shows: (title: Title) => ReadonlySet<Symptom>
}

/** Idle resets as short and as long as pads have them (from memory: 1.1 to 1.8 ms). */
const SETTINGS: readonly Setting[] = [
  { opposite: { vertical: 'neutral', horizontal: 'neutral' } },
  { delayNs: 0 },
  { idleResetNs: 1_100_000 },
  { idleResetNs: 1_800_000 },
]

/**
 * The profiles to turn to: the first cycle only where a rule of the present one gives it, the present one set otherwise, then
 * the others.
 */
export function remedies(
  present: Profile,
  others: readonly NamedProfile[],
  options: JudgeOptions,
): RemedyProfile[] {
  const turnTo = (remedy: Remedy, profile: Profile): RemedyProfile => ({
    remedy,
    profile,
    shows: remembered((title) => symptomsOf(profile, title, options)),
  })
  const held = firstCycleHold(present)
  const ruled = held === null ? [] : [turnTo({ kind: 'power-on', held }, keptToFirstCycle(present))]
  const set = SETTINGS.map((setting) => turnTo({ kind: 'setting', set: setting }, { ...present, ...setting }))
  const named = others.map(({ name, profile }) => turnTo({ kind: 'profile', name }, profile))
  return [...ruled, ...[...set, ...named].filter(({ profile }) => !answersAlike(profile, present))]
}

/** Whether two profiles answer a title alike; names, notes and rules do not matter to it. */
function answersAlike(p: Profile, q: Profile): boolean {
  const key = ({ chart, idleResetNs, delayNs, opposite, mapping, layers }: Profile) =>
    JSON.stringify([
      chart,
      idleResetNs,
      delayNs,
      opposite,
      INPUTS.map((input) => controlMask(mapping[input])),
      layers,
    ])
  return key(p) === key(q)
}

const COSTS = { hold: 1, 'power-on': 3, setting: 5, profile: 5 } as const

/** All that can be tried: holding nothing, one thing or opposite directions, and turning to another profile. */
export function trials(
  present: Profile,
  saw: readonly Symptom[],
  others: readonly RemedyProfile[],
  options: JudgeOptions,
): Trial[] {
  const singles = INPUTS.filter((input) => presses(present, input)).map((input) => [input])
  const reads = remembered((title: Title) =>
    playReads(
      present,
      title,
      usualTiming(present, title, options),
      courseOf(present, title, options.adapter),
    ),
  )
  const holds = [[], ...singles, ...openPairs(present)].map((held): Trial => ({
    act: { kind: 'hold', held },
    cost: COSTS.hold * Math.max(1, held.length),
    outcome: remembered((title) => whatShows(title, reads(title), held)),
  }))
  const turns = others.map(({ remedy, profile }): Trial => ({
    act: remedy,
    cost: COSTS[remedy.kind],
    outcome: remembered((title) => whatStays(symptomsOf(profile, title, options), saw)),
  }))
  return [...holds, ...turns]
}

/** The same function, which works each answer out once: a search for trials asks over and over. */
function remembered<T extends object, R extends object | string>(work: (of: T) => R): (of: T) => R {
  const answers = new Map<T, R>()
  return (of) => {
    const known = answers.get(of)
    if (known !== undefined) return known
    const answer = work(of)
    answers.set(of, answer)
    return answer
  }
}

function whatShows(title: Title, reads: readonly SampledRead[], held: readonly Input[]): string {
  const { pressed, flickering } = seen(title, reads, maskOf(held))
  if (pressed === 0) return t.nothing
  if (pressed === maskOf(held)) return t.asHeld({ flickers: flickering !== 0 })
  const come = { n: inputsIn(pressed).length, pressed: inputList(inputsIn(pressed)) }
  return flickering === 0
    ? t.comes(come)
    : t.flickers({ ...come, flickering: inputList(inputsIn(flickering)) })
}

function whatStays(symptoms: ReadonlySet<Symptom>, saw: readonly Symptom[]): string {
  const stays = saw.filter((symptom) => symptoms.has(symptom))
  return stays.length === 0 ? t.gone : t.stays({ symptoms: seenWords(stays) })
}

/** A trial to carry out, and for each thing that may be seen the patterns that are left and what to try next. */
export interface TrialStep {
  readonly act: TrialAct
  readonly outcomes: readonly {
    readonly saw: string
    readonly patterns: readonly ReadPattern[]
    readonly next: TrialStep | null
  }[]
}

/** Deeper than this nobody follows a list of trials. */
const MOST_STEPS = 4

/**
 * The trial that tells the most for what it costs, and so on for what is left: expected bits of information, all patterns
 * taken for equally likely, over the cost. `null` where no trial tells any two apart.
 */
export function nextTrial(
  patterns: readonly ReadPattern[],
  all: readonly Trial[],
  steps = MOST_STEPS,
): TrialStep | null {
  if (steps === 0 || patterns.length < 2) return null
  let best: {
    readonly trial: Trial
    readonly groups: Map<string, ReadPattern[]>
    readonly worth: number
  } | null = null
  for (const trial of all) {
    const groups = groupBy(patterns, ({ title }) => trial.outcome(title))
    const worth = information([...groups.values()].map(({ length }) => length)) / trial.cost
    if (worth > (best?.worth ?? 0)) best = { trial, groups, worth }
  }
  if (best === null) return null
  const outcomes = [...best.groups].map(([saw, left]) => ({
    saw,
    patterns: left,
    next: nextTrial(left, all, steps - 1),
  }))
  return { act: best.trial.act, outcomes }
}

function groupBy<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>()
  for (const item of items) {
    const key = keyOf(item)
    groups.set(key, [...(groups.get(key) ?? []), item])
  }
  return groups
}

/** Bits that it tells which of several groups of these sizes one is in, all members being equally likely. */
export function information(sizes: readonly number[]): number {
  const all = sizes.reduce((sum, size) => sum + size, 0)
  return sizes.reduce((bits, size) => bits + (size / all) * Math.log2(all / size), 0)
}
