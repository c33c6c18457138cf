import type { Source } from './evidence.ts'
import { mapSteps } from './map-steps.ts'
import type { StepAt } from './map-steps.ts'
import { canTell, groupAt, possibilitiesOf, sameAt } from './possible.ts'
import type { OpenSample } from './possible.ts'
import type { PlainStep, SampleStep, Title } from './schema.ts'

/** Something that a title may do: take a sample for one of its choices, or tell six buttons in one of the ways. */
export type Possibility =
  | { readonly kind: 'sample'; readonly at: StepAt; readonly choice: number }
  | { readonly kind: 'six-buttons'; readonly detection: number }

/**
 * Whether a title file can say that it does, or does not. It can say neither of samples that hang together, nor of a sample that waits for six buttons
 * while more than one way of telling them is open: it may be that way that the title has not.
 */
export function canSettle(title: Title, possibility: Possibility): boolean {
  if (possibility.kind === 'six-buttons') return true
  const isOneWay = possibilitiesOf(title)?.detections.length === 1
  const [first] = groupAt(title, possibility.at)?.samples ?? []
  return isAlone(title, possibility) && (isOneWay || first?.takings[possibility.choice]?.when === 'always')
}

/** Whether no other sample hangs on it. */
const isAlone = (title: Title, possibility: Possibility): boolean =>
  possibility.kind === 'six-buttons' || groupAt(title, possibility.at)?.samples.length === 1

/** How many trials told something, and how many of them spoke against it. */
export interface Trials {
  readonly trials: number
  readonly against: number
}

const ONE_TRIAL: Trials = { trials: 1, against: 0 }

/** The title after a trial in front of the console that showed none of these: they are ruled out. */
export const ruledOut = (title: Title, possibilities: readonly Possibility[]): Title =>
  settled(
    title,
    possibilities.filter((one) => canSettle(title, one)),
    without,
    ONE_TRIAL,
  )

/** The same after trials that rule them out in whatever way six buttons are told, of all ways that are left. */
export const ruledOutInEveryWay = (
  title: Title,
  possibilities: readonly Possibility[],
  trials: Trials,
): Title =>
  settled(
    title,
    possibilities.filter((one) => isAlone(title, one)),
    without,
    trials,
  )

/** The same where it showed: the trial cannot tell which of them it was, so the title is taken for all of them. */
export const takenFor = (title: Title, possibilities: readonly Possibility[]): Title =>
  settled(
    title,
    possibilities.filter((one) => canSettle(title, one)),
    only,
    ONE_TRIAL,
  )

type Narrow = <T>(all: readonly T[], asked: readonly number[]) => T[]

const without: Narrow = (left, asked) => left.filter((_, k) => !asked.includes(k))
const only: Narrow = (left, asked) => left.filter((_, k) => asked.includes(k))

function settled(title: Title, asked: readonly Possibility[], narrow: Narrow, trials: Trials): Title {
  const detections = asked.flatMap((one) => (one.kind === 'six-buttons' ? [one.detection] : []))
  const samples = asked.flatMap((one) => (one.kind === 'sample' ? [one] : []))
  const sixButtons =
    detections.length > 0 ? detectionLeft(title, detections, narrow, trials) : title.sixButtons
  const telling = [sixButtons, ...(sixButtons.possible ?? [])].filter(({ kind }) => kind !== 'never')
  /** Where nothing tells six buttons any more, or in a read that never could, a sample that waits for them is not taken. */
  const withoutVain = (step: SampleStep, was: SampleStep, here: StepAt): SampleStep => {
    const isTold = was.when === step.when || telling.some((one) => canTell(title, one, here))
    return step.when === 'always' || (telling.length > 0 && isTold)
      ? step
      : { ...step, sample: {}, when: 'always', possible: step.possible ?? [] }
  }
  const stillTells = new Set(
    [sixButtons, ...(sixButtons.possible ?? [])].flatMap((one) =>
      one.kind === 'told' ? one.by.map(({ sample }) => sample) : [],
    ),
  )
  /** A sample that takes nothing has stood there to tell six buttons. */
  const isLeft = ({ sample, name, possible }: SampleStep): boolean =>
    Object.keys(sample).length === 0 && possible === undefined && !stillTells.has(name ?? '')
  const plain = (step: PlainStep, here: StepAt): PlainStep => {
    const choices = samples.filter(({ at }) => sameAt(at, here)).map(({ choice }) => choice)
    const open = groupAt(title, here)?.samples[0]
    if (!('sample' in step)) return step
    // Even an empty list says that a sample may take nothing.
    if (isLeft(step)) return { ...step, possible: [] }
    const left = choices.length > 0 && open ? narrowed(step, open, choices, narrow, trials) : step
    return withoutVain(left, step, here)
  }
  return { ...mapSteps(title, plain), sixButtons }
}

function narrowed(
  step: SampleStep,
  { takings }: OpenSample,
  choices: readonly number[],
  narrow: Narrow,
  trials: Trials,
): SampleStep {
  const [first, ...others] = narrow(takings, choices)
  if (first === undefined) return step
  const { possible: _possible, ...stated } = step
  const isOpen = others.length > 0 || Object.keys(first.sample).length === 0
  return {
    ...stated,
    ...first,
    // Even an empty list says that a sample may take nothing.
    ...(isOpen && { possible: others.map(({ sample }) => sample) }),
    source: found(stated.source, trials),
  }
}

function detectionLeft(
  title: Title,
  asked: readonly number[],
  narrow: Narrow,
  trials: Trials,
): Title['sixButtons'] {
  const { sixButtons } = title
  const [first, ...others] = narrow(possibilitiesOf(title)?.detections ?? [], asked)
  if (first === undefined) return sixButtons
  return {
    ...first,
    ...(others.length > 0 && { possible: others }),
    source: found(sixButtons.source, trials),
  }
}

/** What was found before, and these trials. */
function found(source: Source | undefined, { trials, against }: Trials): Source {
  const before = source?.kind === 'found' ? source : { trials: 0, against: 0 }
  const all = (before.against ?? 0) + against
  return { kind: 'found', trials: before.trials + trials, ...(all > 0 && { against: all }) }
}
