import type { Level, Pin } from '../port/pins.ts'
import { SIX_BUTTON_CHART } from '../port/family.ts'
import { EXTRA_AFTER_RISES, risesBefore } from './in-one-go.ts'
import type { Detection } from './possible.ts'
import type { Read, SampleStep, Step, Takes, Title } from './schema.ts'
import { layOutTitle } from './steps/lay-out-title.ts'
import { identificationCycle, plainSample } from './ways-of-reading.ts'

/**
 * Edges show neither what a title samples nor what it makes of it. So every phase of its reads may be sampled, or not; where a six-button pad has its extra
 * buttons they may be taken for such; and six buttons may be told in each of the ways that programs have (port-facts, about 35 programs that were run).
 */

const IDENTIFICATION = 'identification'
const END_MARK = 'end-mark'
/** That there is a sample which may be one of extra buttons. */
const EXTRA_NAME = 'extra'
const DIRECTION_PINS: Pin[] = [1, 2, 3, 4]

const told = (sample: string, level: Level, holds: 'read' | 'onwards' = 'read'): Detection => ({
  kind: 'told',
  by: [
    {
      sample,
      low: level === 'low' ? DIRECTION_PINS : [],
      high: level === 'high' ? DIRECTION_PINS : [],
    },
  ],
  holds,
})

const EXTRA: Takes = Object.fromEntries(
  DIRECTION_PINS.map((pin) => [pin, SIX_BUTTON_CHART.cycles[3]?.high[pin]]),
)

/** When a sample may come after its edge, by the title's mode and its read. */
type After = (mode: number, read: number) => SampleStep['after']

export function leaveOpen(title: Title, after: After): Title {
  const open = withOpen(title, after, true)
  // Where the next read follows at once, what it opens with is the phase that this one closes with.
  return layOutTitle(open).ok ? open : withOpen(title, after, false)
}

function withOpen(title: Title, after: After, closes: boolean): Title {
  const names = new Set<string>()
  const hasTurns = layOutTitle(title).ok
  const modes = title.modes.map((mode, number) => {
    const before = hasTurns ? risesBefore(title, number) : []
    return {
      ...mode,
      reads: mode.reads.map((read, k): Read => ({
        ...read,
        steps: openSteps(read.steps, title.idle, after(number, k), {
          names,
          closes,
          before: before[k] ?? [0],
        }),
      })),
    }
  })
  const possible: Detection[] = [
    ...(names.has(IDENTIFICATION) ? [told(IDENTIFICATION, 'low')] : []),
    // What a title tells at start it believes from then on.
    ...(names.has(IDENTIFICATION) && title.modes.some(({ once }) => once)
      ? [told(IDENTIFICATION, 'low', 'onwards')]
      : []),
    ...(names.has(END_MARK) ? [told(END_MARK, 'high')] : []),
    // A title that told them once at start, before the capture began, takes them for granted in all of it.
    ...(names.has(EXTRA_NAME) ? [{ kind: 'assumed' } as const] : []),
  ]
  const { sixButtons } = title
  return {
    ...title,
    modes,
    sixButtons: possible.length === 0 ? sixButtons : { ...sixButtons, possible },
  }
}

interface Opening {
  /** Filled with what samples go by that tell six buttons, or may be of extra ones. */
  readonly names: Set<string>
  readonly closes: boolean
  /** Rises that can have come before the read, in one go with it. */
  readonly before: readonly number[]
}

/** A sample in every phase, before the first edge and after the last one, too. */
function openSteps(
  steps: readonly Step[],
  idle: Level,
  after: SampleStep['after'],
  { names, closes, before }: Opening,
): Step[] {
  const identifies = identificationCycle(idle)
  const opens = idle === 'high' ? 1 : 0
  const open: Step[] = []
  let cycle = opens
  let level = idle
  let sampled: SampleStep | null = null
  const close = (): void => {
    if (cycle > 0) open.push(sampleIn(cycle, level, sampled))
    sampled = null
  }
  const sampleIn = (cycle: number, level: Level, known: SampleStep | null): SampleStep => {
    const plain = plainSample(cycle, level).pins
    const isExtra = level === 'high' && before.some((rises) => rises + cycle - opens === EXTRA_AFTER_RISES)
    const name =
      level === 'high'
        ? undefined
        : cycle === identifies
          ? IDENTIFICATION
          : cycle === identifies + 1
            ? END_MARK
            : undefined
    if (name !== undefined) names.add(name)
    if (isExtra) names.add(EXTRA_NAME)
    const sample = known?.sample ?? {}
    const others: Takes[] = [{}, plain, ...(isExtra ? [EXTRA] : [])]
    return {
      sample,
      after: known?.after ?? after,
      since: 'edge',
      when: 'always',
      ...(name !== undefined && { name }),
      source: known?.source ?? { kind: 'guessed' },
      possible: others.filter((one) => JSON.stringify(one) !== JSON.stringify(sample)),
    }
  }
  for (const step of steps) {
    if ('repeat' in step) {
      open.push(step)
      continue
    }
    if ('sample' in step) {
      sampled = step
      continue
    }
    close()
    open.push(step)
    const next: Level = step.select === 'low' ? 'low' : 'high'
    if (next === 'high' && level === 'low') cycle++
    level = next
  }
  if (closes || sampled !== null) close()
  return open
}

/** Whether some sample of a title may be something else. */
export const isLeftOpen = ({ modes }: Title): boolean =>
  modes.some(({ reads }) =>
    reads.some(({ steps }) => steps.some((step) => 'sample' in step && step.possible !== undefined)),
  )

/** What a title is taken for, without anything that it may be instead. */
export function withoutOpen(title: Title): Title {
  const { possible: _possible, ...sixButtons } = title.sixButtons
  const told = sixButtons.kind === 'told' ? sixButtons.by.map(({ sample }) => sample) : []
  const closed = (step: Step): Step[] => {
    if (!('sample' in step)) return [step]
    const { possible: _others, name, ...plain } = step
    if (name !== undefined && told.includes(name)) return [{ ...plain, name }]
    return Object.keys(plain.sample).length === 0 ? [] : [plain]
  }
  return {
    ...title,
    sixButtons,
    modes: title.modes.map((mode) => ({
      ...mode,
      reads: mode.reads.map((read) => ({ ...read, steps: read.steps.flatMap(closed) })),
    })),
  }
}
