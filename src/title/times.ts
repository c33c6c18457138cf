import type { PlainStep, Read, Step, Title } from './schema.ts'

/**
 * What a range of time in a title is about.
 * - `sample`, `edge`: when a step comes
 * - `late`: how late a read may begin
 * - `interval`: from read to read where no frame ties them
 * - `rise`: of a line that is released
 */
export type TimeKind = 'sample' | 'edge' | 'late' | 'interval' | 'rise'

export type TimeRange = PlainStep['after']

/** What a range is about, and what a step of it counts from; `null` where it is not a step. */
export interface TimeOf {
  readonly kind: TimeKind
  readonly since: PlainStep['since'] | null
}

/** A title with every range of time changed. */
export function withTimes(title: Title, change: (range: TimeRange, of: TimeOf) => TimeRange): Title {
  const plain = (step: PlainStep): PlainStep => ({
    ...step,
    after: change(step.after, { kind: 'sample' in step ? 'sample' : 'edge', since: step.since }),
  })
  const ofStep = (step: Step): Step =>
    'repeat' in step ? { ...step, steps: step.steps.map(plain) } : plain(step)
  const ofRead = (read: Read): Read => {
    const { starts } = read
    return {
      ...read,
      starts:
        starts.kind === 'frame'
          ? { ...starts, late: change(starts.late, { kind: 'late', since: null }) }
          : { ...starts, after: change(starts.after, { kind: 'interval', since: null }) },
      steps: read.steps.map(ofStep),
    }
  }
  return {
    ...title,
    rise: title.rise && change(title.rise, { kind: 'rise', since: null }),
    modes: title.modes.map((mode) => ({ ...mode, reads: mode.reads.map(ofRead) })),
  }
}
