import type { Input } from '../port/pins.ts'
import type { Source } from './evidence.ts'
import { placeOfSample } from './place-of-sample.ts'
import { mapSteps } from './map-steps.ts'
import type { StepAt } from './map-steps.ts'
import { groupAt, possibilitiesOf } from './possible.ts'
import type { OpenSample } from './possible.ts'
import { chartCycles } from './ways-of-reading.ts'
import type { PlainStep, SampleStep, Takes, Title } from './schema.ts'

/** How many cycles of its reads a title uses, where what it samples is left open: a belief that is one number, so that it can be tried along it. */

const EXTRA: readonly Input[] = ['x', 'y', 'z', 'mode']

/** What a three-button pad gives in that phase; `null` where the sample may be no such thing. */
function plainOf({ takings }: OpenSample): Takes | null {
  const found = takings.find(({ sample }) => {
    const inputs = Object.values(sample).map((taken) => (typeof taken === 'string' ? taken : taken.input))
    return inputs.length > 0 && !inputs.some((input) => EXTRA.includes(input))
  })
  return found?.sample ?? null
}

/** Samples that may be used or not, each on its own. */
const openSamples = (title: Title): OpenSample[] =>
  (possibilitiesOf(title)?.groups ?? []).flatMap(({ samples }) =>
    samples.length === 1 ? samples.filter((one) => plainOf(one) !== null) : [],
  )

/** Its cycle among those that are used: where select idles low, the phase chart's first is over before the read begins. */
const cycleOf = (title: Title, { at }: OpenSample): number =>
  placeOfSample(title, at).cycle - chartCycles(title.idle)

/** The most cycles that a title may use; `null` where that is not left open. */
export function mostCyclesOpen(title: Title): number | null {
  const cycles = openSamples(title).map((one) => cycleOf(title, one))
  return new Set(cycles).size < 2 ? null : Math.max(...cycles)
}

/** The title if it uses its first so many cycles, as a three-button pad answers them, and nothing of the others. */
export function usingCycles(title: Title, cycles: number, source?: Source): Title {
  const plain = (step: PlainStep, at: StepAt): PlainStep => {
    const open = groupAt(title, at)?.samples
    const [one, ...others] = open ?? []
    const taken = one && others.length === 0 ? plainOf(one) : null
    if (!('sample' in step) || !one || taken === null) return step
    const used: SampleStep = {
      ...step,
      sample: cycleOf(title, one) <= cycles ? taken : {},
      when: 'always',
      // Even an empty list says that a sample may take nothing.
      possible: [],
    }
    return source === undefined ? used : { ...used, source }
  }
  return mapSteps(title, plain)
}
