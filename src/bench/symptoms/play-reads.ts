import { cellLevel, phaseAt } from '../../port/chart.ts'
import type { Phase } from '../../port/chart.ts'
import { PINS, inputBit, maskOf } from '../../port/pins.ts'
import type { Input, InputMask, Level } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import { IDENTIFIES, scheduleOf } from '../../title/schedule.ts'
import type { TakenSample } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { Told, believes } from '../belief.ts'
import { usualCourse } from '../play/course.ts'
import { Player } from '../play/player.ts'
import type { Course, PlayedRead } from '../play/player.ts'
import { playFrame } from '../play/rounds.ts'
import type { Timing } from '../play/timing.ts'
import { takenInputs } from '../sight.ts'

/** One read as the title had it: what stood on the pins at each of its samples, in the order in which they came. */
export interface SampledRead {
  readonly samples: readonly {
    /** Of the title, by its index. */
    readonly sample: number
    readonly phase: Phase
    /** Of select. */
    readonly level: Level
  }[]
}

/** Enough for what a frame leaves behind to show in the next. */
const FRAMES = 4

/** A title in front of a profile for some frames from power-on. What is held does not matter yet: see {@link seen}. */
export function playReads(
  { chart }: Profile,
  title: Title,
  timing: Timing,
  course: Course = usualCourse(title),
): SampledRead[] {
  const player = new Player(scheduleOf(title), timing, undefined, course)
  const reads = Array.from({ length: FRAMES }, () => playFrame(player)).flat()
  return reads.map((read) => sampled(read, chart))
}

const sampled = ({ nodes }: PlayedRead, chart: Profile['chart']): SampledRead => ({
  samples: nodes.flatMap(({ met }) =>
    met.flatMap(({ sample, rises, level }) =>
      sample.uses
        .filter((use) => use !== IDENTIFIES)
        .map((use) => ({ sample: use, phase: phaseAt(chart, rises, level), level })),
    ),
  ),
})

/** What a title makes of all its reads while something is held. */
export interface InputsSeen {
  /** Inputs that some sample takes for pressed. */
  readonly pressed: InputMask
  /** Of these, the ones that other samples take for let go. */
  readonly flickering: InputMask
  /** Inputs that the title sampled, in one read at least. */
  readonly sampled: InputMask
}

/** @param held what reaches the port */
export function seen(title: Title, reads: readonly SampledRead[], held: InputMask): InputsSeen {
  const always = maskOf(takenInputs(title, 'always'))
  let pressed = 0
  let letGo = 0
  let sampled = 0
  const schedule = scheduleOf(title)
  const told = new Told(schedule.sixButtons)
  for (const { samples } of reads) {
    told.startRead()
    for (const { sample, phase } of samples) told.meet(sample, phase)
    const six = believes(told.belief, held)
    for (const { sample, phase, level } of samples) {
      const { pins, readBack, when } = schedule.samples[sample] as TakenSample
      const takes = when === 'always' || six
      const see = (taken: Input, isLow: boolean): void => {
        const input = inputBit(taken)
        if (takes && isLow) pressed |= input
        // A read without six buttons lets the extra ones go, and no others.
        else if (takes || !(always & input)) letGo |= input
        if (takes) sampled |= input
      }
      if (readBack !== null) see(readBack, level === 'low')
      for (const pin of PINS) {
        const taken = pins[pin]
        if (taken !== undefined) see(taken, cellLevel(phase[pin], held) === 'low')
      }
    }
  }
  return { pressed, flickering: pressed & letGo, sampled }
}
