import { sameJson } from '../document/same-json.ts'
import type { Input } from '../port/pins.ts'
import { mapSteps } from './map-steps.ts'
import type { StepAt } from './map-steps.ts'
import type { PlainStep, SampleStep, SixButtons, Takes, Title } from './schema.ts'
import { TITLE_LIMITS } from './title-limits.ts'

/**
 * What a title may be, for all that is known of it. A title that leaves nothing open is one title; otherwise it stands for several, each of which
 * says one thing for every sample and for how six buttons are told. `bench/judge.ts` asks all of them.
 */

/** What a sample is taken for, and in which reads. */
export interface Taking {
  readonly sample: Takes
  readonly when: SampleStep['when']
}

/** How six buttons are told, without where that comes from. */
export type Detection = NonNullable<SixButtons['possible']>[number]

/** A sample that may be taken for one thing or another; what the file takes it for comes first. */
export interface OpenSample {
  readonly at: StepAt
  readonly name: string | undefined
  readonly takings: readonly Taking[]
}

/** Open samples that hang together, since one counts only if another agrees; most stand alone. */
export interface OpenGroup {
  readonly samples: readonly OpenSample[]
  /** For each sample a taking by its place; what the file says comes first. */
  readonly choices: readonly (readonly number[])[]
}

export interface Possibilities {
  /** What the file says comes first. */
  readonly detections: readonly Detection[]
  readonly groups: readonly OpenGroup[]
}

/** Not looked at. */
const NOTHING: Taking = { sample: {}, when: 'always' }

const KNOWN = new WeakMap<Title, Possibilities | null>()

/** What is left open; `null` where nothing is. Worked out once. */
export function possibilitiesOf(title: Title): Possibilities | null {
  const known = KNOWN.get(title)
  if (known !== undefined) return known
  const { possible = [], source: _source, ...stated } = title.sixButtons
  const detections = eachOnce<Detection>([stated, ...possible])
  const groups = groupsOf(title)
  const found = detections.length > 1 || groups.length > 0 ? { detections, groups } : null
  KNOWN.set(title, found)
  return found
}

const EXTRA: readonly Input[] = ['x', 'y', 'z', 'mode']

const inputOf = (taken: NonNullable<Takes[keyof Takes]>): Input =>
  typeof taken === 'string' ? taken : taken.input

/**
 * A sample that may be one of the extra buttons counts, then, where six buttons are believed: a title that takes it in any case is one that
 * takes six buttons for granted.
 */
const whenOf = (sample: Takes): Taking['when'] =>
  Object.values(sample).some((taken) => EXTRA.includes(inputOf(taken))) ? 'six-buttons' : 'always'

/** Every sample of a title, with all that it may be taken for. */
function allSamples({ modes }: Title): OpenSample[] {
  const all: OpenSample[] = []
  const see = (step: PlainStep, at: StepAt): void => {
    if (!('sample' in step)) return
    const { sample, when, possible = [], name } = step
    const others = possible.map((one) => ({ sample: one, when: whenOf(one) }))
    all.push({ at, name, takings: eachOnce<Taking>([{ sample, when }, ...others]) })
  }
  modes.forEach(({ reads }, mode) =>
    reads.forEach(({ steps }, read) =>
      steps.forEach((one, step) => {
        if (!('repeat' in one)) return see(one, { mode, read, step, inner: null })
        one.steps.forEach((within, inner) => see(within, { mode, read, step, inner }))
      }),
    ),
  )
  return all
}

const isOpen = ({ takings }: OpenSample): boolean => takings.length > 1

function partnersOf({ takings }: OpenSample): string[] {
  const taken = takings.flatMap(({ sample }) => Object.values(sample))
  return taken.flatMap((one) => (typeof one === 'string' ? [] : [one.ifAgrees]))
}

/** Open samples that one and the same sample hangs on belong together. */
function groupsOf(title: Title): OpenGroup[] {
  const all = allSamples(title)
  const numbers = new Map(all.filter(isOpen).map((one, k) => [one, k]))
  for (const one of all) {
    const partners = partnersOf(one)
    const joined = all.filter(
      (other) => isOpen(other) && (other === one || partners.includes(other.name ?? '')),
    )
    const groups = new Set(joined.map((each) => numbers.get(each)))
    const [first] = groups
    for (const [each, number] of numbers) if (groups.has(number)) numbers.set(each, first as number)
  }
  return [...new Set(numbers.values())].map((number) => {
    const samples = all.filter((one) => numbers.get(one) === number)
    return { samples, choices: choicesOf(samples) }
  })
}

function choicesOf(samples: readonly OpenSample[]): number[][] {
  let all: number[][] = [[]]
  for (const { takings } of samples) {
    all = all.flatMap((choice) => takings.map((_, k) => [...choice, k]))
    // More than can be asked; `clashes.ts` refuses such a title.
    if (all.length > TITLE_LIMITS.together) return all
  }
  return all
}

function eachOnce<T>(all: readonly T[]): T[] {
  const kept: T[] = []
  for (const one of all) if (!kept.some((known) => sameJson(known, one))) kept.push(one)
  return kept
}

/** Titles that were made of others, by what was chosen for them. */
const MADE = new WeakMap<Title, Map<string, Title>>()

/**
 * A title that leaves nothing open. The same one again where the same is asked, so that what was explored of it is not explored again.
 *
 * @param detection how six buttons are told, by its place
 * @param choose what a group of samples is taken for, by its place; `null`: for nothing
 */
export function titleTaking(
  title: Title,
  detection: number,
  choose: (group: OpenGroup) => number | null,
): Title {
  const { detections, groups } = possibilitiesOf(title) ?? { detections: [title.sixButtons], groups: [] }
  const chosen = groups.map(choose)
  const made = MADE.get(title) ?? new Map<string, Title>()
  MADE.set(title, made)
  const key = [detection, ...chosen.map((k) => k ?? '')].join()
  const known = made.get(key)
  if (known) return known
  const takings = new Map<string, Taking>()
  groups.forEach(({ samples, choices }, k) => {
    const choice = choices[chosen[k] ?? -1]
    samples.forEach(({ at, takings: all }, j) => takings.set(keyOf(at), all[choice?.[j] ?? -1] ?? NOTHING))
  })
  const found = withTakings(title, detections[detection] as Detection, takings)
  made.set(key, found)
  return found
}

const keyOf = ({ mode, read, step, inner }: StepAt): string => `${mode} ${read} ${step} ${inner ?? ''}`

/** Whether nothing that six buttons are told by in each read is missing in the read of a step. */
export function canTell({ modes }: Title, detection: Detection, { mode, read }: StepAt): boolean {
  if (detection.kind !== 'told' || detection.holds !== 'read') return true
  const steps = modes[mode]?.reads[read]?.steps ?? []
  return detection.by.every(({ sample }) => steps.some((step) => 'name' in step && step.name === sample))
}

/** A sample that may be one of the extra buttons is none in a read that cannot tell six buttons. */
function withTakings(title: Title, detection: Detection, takings: ReadonlyMap<string, Taking>): Title {
  const plain = (step: PlainStep, at: StepAt): PlainStep => {
    if (!('sample' in step)) return step
    const { sample, when } = takings.get(keyOf(at)) ?? step
    const waits = when === 'six-buttons'
    const isVain =
      waits && (detection.kind === 'never' || (step.when !== when && !canTell(title, detection, at)))
    // Even an empty list says that a sample may take nothing.
    return { ...step, ...(isVain ? NOTHING : { sample, when }), possible: [] }
  }
  const { source } = title.sixButtons
  return {
    ...mapSteps(title, plain),
    sixButtons: source === undefined ? detection : { ...detection, source },
  }
}

/** A few titles that between them take every group of open samples for everything that it may be, with each way of telling six buttons. */
export function waysOf(title: Title): readonly Title[] {
  const possibilities = possibilitiesOf(title)
  if (possibilities === null) return [title]
  const { detections, groups } = possibilities
  const most = Math.max(1, ...groups.map(({ choices }) => choices.length))
  return detections.flatMap((_, detection) =>
    Array.from({ length: most }, (_, k) =>
      titleTaking(title, detection, ({ choices }) => Math.min(k, choices.length - 1)),
    ),
  )
}

/** The same with one group of open samples taken for something and the others for nothing. */
export const titleTakingOne = (title: Title, detection: number, one: OpenGroup, choice: number): Title =>
  titleTaking(title, detection, (group) => (group === one ? choice : null))

/** With nothing taken that is open. */
export const titleTakingNone = (title: Title, detection: number): Title =>
  titleTaking(title, detection, () => null)

export const sameAt = (one: StepAt, other: StepAt): boolean => keyOf(one) === keyOf(other)

/** The group that begins with this sample. */
export const groupAt = (title: Title, at: StepAt): OpenGroup | null =>
  possibilitiesOf(title)?.groups.find(({ samples: [first] }) => first && sameAt(first.at, at)) ?? null
