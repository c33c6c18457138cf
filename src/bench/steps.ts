import type { Level } from '../port/pins.ts'
import type { Title } from '../title/schema.ts'

/** What a title does in one phase of a read. Phases are counted from 0; the one past the last is the way back to rest. */
export interface Step {
  /** The level that the title gives select as the phase opens; `null` where select rests at it already. */
  readonly writes: Level | null
  /** What it samples the pins for, all at one instant: samples by their index, and `IDENTIFIES`. Empty: no sample. */
  readonly samples: readonly number[]
  /** Whether one of the samples is taken only in a read in which the title believes in six buttons. */
  readonly waits: boolean
}

/** Stands among the looks for the title asking whether this pad has six buttons. */
export const IDENTIFIES = -1

const STEPS = new WeakMap<Title, readonly Step[]>()

/** The steps of one read, in the order in which the title does them. */
export function stepsOf(title: Title): readonly Step[] {
  const known = STEPS.get(title)
  if (known) return known
  const steps = listSteps(title)
  STEPS.set(title, steps)
  return steps
}

function listSteps({ rest, cyclesPerRead, samples, sixButtons }: Title): Step[] {
  const phases = 2 * cyclesPerRead
  return Array.from({ length: phases + 1 }, (_, phase): Step => {
    const level = phase % 2 === 0 ? 'high' : 'low'
    const here = (place: { readonly cycle: number; readonly level: Level }): boolean =>
      phaseOf(place) === phase
    const isWritten = rest === 'high' ? phase > 0 : phase < phases
    return {
      writes: isWritten ? level : null,
      samples: [
        ...(sixButtons.kind === 'identified' && here(sixButtons) ? [IDENTIFIES] : []),
        ...samples.flatMap((sample, k) => (here(sample) ? [k] : [])),
      ],
      waits: samples.some((sample) => sample.when === 'six-buttons' && here(sample)),
    }
  })
}

/** Number of a phase within the read, from 0, by its cycle, from 1, and level. */
export const phaseOf = ({ cycle, level }: { readonly cycle: number; readonly level: Level }): number =>
  (cycle - 1) * 2 + (level === 'low' ? 1 : 0)
