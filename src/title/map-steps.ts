import type { PlainStep, Step, Title } from './schema.ts'

/** Where a step stands in the file. */
export interface StepAt {
  readonly mode: number
  readonly read: number
  readonly step: number
  /** Within a repeat; `null` where it is not in one. */
  readonly inner: number | null
}

/** The title with every plain step changed, those of repeats included. */
export function mapSteps(title: Title, change: (step: PlainStep, at: StepAt) => PlainStep): Title {
  const ofStep = (one: Step, mode: number, read: number, step: number): Step =>
    'repeat' in one
      ? { ...one, steps: one.steps.map((within, inner) => change(within, { mode, read, step, inner })) }
      : change(one, { mode, read, step, inner: null })
  return {
    ...title,
    modes: title.modes.map((mode, m) => ({
      ...mode,
      reads: mode.reads.map((read, r) => ({
        ...read,
        steps: read.steps.map((step, s) => ofStep(step, m, r, s)),
      })),
    })),
  }
}
