import type { DocumentError } from '../../document/document.ts'
import type { ReadPlace } from '../../title/schedule.ts'
import type { Mode, PlainStep, Read, Step, Title } from '../../title/schema.ts'

/** Where a step stands in a read; `group` is the repeat that it is in. */
export interface RowPlace extends ReadPlace {
  readonly group: number | null
  readonly step: number
}

/** The place of a part as a JSON path, as refusals name it. */
export const modeKey = (mode: number): string => `modes[${mode}]`
export const readKey = ({ mode, read }: ReadPlace): string => `${modeKey(mode)}.reads[${read}]`
export const rowKey = ({ group, step, ...read }: RowPlace): string =>
  `${readKey(read)}${group === null ? '' : `.steps[${group}]`}.steps[${step}]`
export const conditionKey = (k: number): string => `sixButtons.by[${k}]`
export const SIX_KEY = 'sixButtons'

export const samePlace = (one: RowPlace | null, other: RowPlace): boolean =>
  one !== null && rowKey(one) === rowKey(other)

/** What a refusal can stand next to: a condition, six buttons, a step, a read or a mode. */
const OWNER =
  /^(sixButtons(\.by\[\d+\])?|modes\[\d+\](\.reads\[\d+\](\.steps\[\d+\](\.steps\[\d+\])?)?)?)(?![^.[])/

/** The part of a title that a refusal belongs to; empty where it is the title as a whole. */
export const ownerOf = ({ place }: DocumentError): string => OWNER.exec(place)?.[1] ?? ''

/** All parts of a title that a refusal can belong to, by their keys. */
export function* partsOf({ modes, sixButtons }: Title): Generator<readonly [key: string, part: object]> {
  for (const [m, mode] of modes.entries()) {
    yield [modeKey(m), mode]
    for (const [r, read] of mode.reads.entries()) {
      yield [readKey({ mode: m, read: r }), read]
      for (const { place, step } of rowsOf(read, { mode: m, read: r })) yield [rowKey(place), step]
    }
  }
  yield [SIX_KEY, sixButtons]
  if (sixButtons.kind === 'told')
    for (const [k, condition] of sixButtons.by.entries()) yield [conditionKey(k), condition]
}

export interface Row {
  readonly place: RowPlace
  readonly step: Step
}

/** The steps of a read as they are listed: a repeat, then what is in it. */
export const rowsOf = ({ steps }: Read, read: ReadPlace): Row[] =>
  steps.flatMap((step, k): Row[] => [
    { place: { ...read, group: null, step: k }, step },
    ...('repeat' in step
      ? step.steps.map((inner, j) => ({ place: { ...read, group: k, step: j }, step: inner }))
      : []),
  ])

export const readAt = (title: Title, { mode, read }: ReadPlace): Read | undefined =>
  title.modes[mode]?.reads[read]

/** The steps among which a step stands. */
export function listOf(title: Title, place: RowPlace): readonly Step[] {
  const steps = readAt(title, place)?.steps ?? []
  if (place.group === null) return steps
  const group = steps[place.group]
  return group && 'repeat' in group ? group.steps : []
}

export const stepAt = (title: Title, place: RowPlace): Step | undefined => listOf(title, place)[place.step]

const replaced = <T>(list: readonly T[], at: number, change: (one: T) => T): T[] =>
  list.map((one, k) => (k === at ? change(one) : one))

export const inMode = (title: Title, mode: number, change: (mode: Mode) => Mode): Title => ({
  ...title,
  modes: replaced(title.modes, mode, change),
})

export const inRead = (title: Title, { mode, read }: ReadPlace, change: (read: Read) => Read): Title =>
  inMode(title, mode, (now) => ({ ...now, reads: replaced(now.reads, read, change) }))

/** Changes the steps among which one stands. */
export const inList = (
  title: Title,
  place: RowPlace,
  change: (steps: readonly Step[]) => readonly Step[],
): Title =>
  inRead(title, place, (read) => ({
    ...read,
    steps:
      place.group === null
        ? [...change(read.steps)]
        : replaced(read.steps, place.group, (group) =>
            // No command puts a repeat into a repeat, and the schema refuses one.
            'repeat' in group ? { ...group, steps: change(group.steps) as PlainStep[] } : group,
          ),
  }))

export const inStep = (title: Title, place: RowPlace, change: (step: Step) => Step): Title =>
  inList(title, place, (steps) => replaced(steps, place.step, change))

/** Changes every plain step of a title. */
export const everyStep = (title: Title, change: (step: PlainStep) => PlainStep): Title => ({
  ...title,
  modes: title.modes.map((mode) => ({
    ...mode,
    reads: mode.reads.map((read) => ({
      ...read,
      steps: read.steps.map((step) =>
        'repeat' in step ? { ...step, steps: step.steps.map(change) } : change(step),
      ),
    })),
  })),
})

/** All plain steps of a title. */
export const plainSteps = ({ modes }: Title): PlainStep[] =>
  modes.flatMap(({ reads }) =>
    reads.flatMap(({ steps }) => steps.flatMap((step) => ('repeat' in step ? step.steps : [step]))),
  )

/** The names that samples of a title go by, each once. */
export const sampleNames = (title: Title): string[] => [
  ...new Set(plainSteps(title).flatMap((step) => ('sample' in step && step.name ? [step.name] : []))),
]
