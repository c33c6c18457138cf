import type { Source } from './evidence.ts'
import type { Step, Title } from './schema.ts'

/** How many of a title's figures and beliefs somebody has seen, by capture, program or adapter, and how many are taken as they stand. */
export interface SourceCounts {
  readonly seen: number
  readonly asSaid: number
}

/** What somebody has seen; all else is judged as it stands. */
const SEEN: readonly Source['kind'][] = ['measured', 'shown', 'found']

/** Counts every figure of a title once, as its file has it; one without a source is not recorded. */
export function sourceCounts(title: Title): SourceCounts {
  const sources = [...ofTitle(title), ...title.modes.flatMap(({ reads }) => reads).flatMap(ofRead)]
  const seen = sources.filter((source) => source !== undefined && SEEN.includes(source.kind)).length
  return { seen, asSaid: sources.length - seen }
}

type Sources = (Source | undefined)[]

function ofTitle({ sources, rise, sixButtons }: Title): Sources {
  const { standard, clockPpm, idle, takesOpposite } = sources ?? {}
  return [
    standard,
    clockPpm,
    idle,
    takesOpposite,
    rise === null ? sources?.rise : rise.source,
    sixButtons.source,
  ]
}

function ofRead({ starts, steps, stretch }: Title['modes'][number]['reads'][number]): Sources {
  const begins = starts.kind === 'frame' ? [starts.source, starts.late.source] : [starts.after.source]
  return [...begins, ...(stretch ? [stretch.source] : []), ...steps.flatMap(ofStep)]
}

function ofStep(step: Step): Sources {
  if ('repeat' in step) return step.steps.flatMap(ofStep)
  return 'sample' in step ? [step.after.source, step.source] : [step.after.source]
}
