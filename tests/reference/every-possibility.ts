import type { Step, Title } from '../../src/title/schema.ts'

/** Every title that a title may be, one by one: each combination of what its samples may be taken for and how six buttons may be told. */
export function everyPossibility(title: Title): Title[] {
  const { possible = [], ...stated } = title.sixButtons
  let all: Title[] = [stated, ...possible].map((sixButtons) => ({ ...title, sixButtons }))
  title.modes.forEach((mode, m) =>
    mode.reads.forEach((read, r) =>
      read.steps.forEach((step, s) => {
        if (!('sample' in step) || step.possible === undefined) return
        const { possible: others, ...plain } = step
        const steps = [
          plain,
          ...others.map((sample) => ({
            ...plain,
            sample,
            when: /"(x|y|z|mode)"/.test(JSON.stringify(sample))
              ? ('six-buttons' as const)
              : ('always' as const),
          })),
        ]
        all = all.flatMap((one) => steps.map((taken) => withStep(one, m, r, s, { ...taken, possible: [] })))
      }),
    ),
  )
  return all.map(withoutVain)
}

const withStep = (title: Title, m: number, r: number, s: number, step: Step): Title => ({
  ...title,
  modes: title.modes.map((mode, k) =>
    k !== m
      ? mode
      : {
          ...mode,
          reads: mode.reads.map((read, j) =>
            j !== r ? read : { ...read, steps: read.steps.map((one, n) => (n === s ? step : one)) },
          ),
        },
  ),
})

/** A sample may take nothing; where a title never looks for six buttons, those that wait for them do. */
const withoutVain = (title: Title): Title => ({
  ...title,
  modes: title.modes.map((mode) => ({
    ...mode,
    reads: mode.reads.map((read) => ({
      ...read,
      steps: read.steps.map((step) => {
        if (!('sample' in step)) return step
        const isVain = title.sixButtons.kind === 'never' && step.when === 'six-buttons'
        return { ...step, ...(isVain && { sample: {}, when: 'always' as const }), possible: [] }
      }),
    })),
  })),
})
