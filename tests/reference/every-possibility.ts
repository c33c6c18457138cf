import type { Step, Takes, Title } from '../../src/title/schema.ts'

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
            when: whenOf(sample),
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

/** One of them. @param oneOf chooses from so many */
export function onePossibility(title: Title, oneOf: (n: number) => number): Title {
  const { possible = [], ...stated } = title.sixButtons
  const ways = [stated, ...possible]
  const step = (one: Step): Step => {
    if (!('sample' in one) || one.possible === undefined) return one
    const { possible: others, sample, ...plain } = one
    const taken = oneOf(others.length + 1)
    if (taken === 0) return { ...plain, sample, possible: [] }
    const other = others[taken - 1] as Takes
    return { ...plain, sample: other, when: whenOf(other), possible: [] }
  }
  return withoutVain({
    ...title,
    sixButtons: ways[oneOf(ways.length)] as Title['sixButtons'],
    modes: title.modes.map((mode) => ({
      ...mode,
      reads: mode.reads.map((read) => ({ ...read, steps: read.steps.map(step) })),
    })),
  })
}

const whenOf = (sample: Takes): 'six-buttons' | 'always' =>
  /"(x|y|z|mode)"/.test(JSON.stringify(sample)) ? 'six-buttons' : 'always'

/** Whether six buttons can be believed in a read: never where each read tells them for itself and this one lacks a sample that tells them. */
function canBelieve({ sixButtons }: Title, read: Title['modes'][number]['reads'][number]): boolean {
  if (sixButtons.kind !== 'told' || sixButtons.holds === 'onwards') return sixButtons.kind !== 'never'
  const names = JSON.stringify(read.steps)
  return sixButtons.by.every(({ sample }) => names.includes(`"name":${JSON.stringify(sample)}`))
}

/** A sample may take nothing; where six buttons are never believed, those that wait for them do. */
const withoutVain = (title: Title): Title => ({
  ...title,
  modes: title.modes.map((mode) => ({
    ...mode,
    reads: mode.reads.map((read) => ({
      ...read,
      steps: read.steps.map((step) => {
        if (!('sample' in step)) return step
        const isVain = step.when === 'six-buttons' && !canBelieve(title, read)
        return { ...step, ...(isVain && { sample: {}, when: 'always' as const }), possible: [] }
      }),
    })),
  })),
})
