import { cellLevel, phaseAt } from '../../port/chart.ts'
import type { Phase } from '../../port/chart.ts'
import { PINS, inputBit, maskOf } from '../../port/pins.ts'
import type { InputMask } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import { IDENTIFIES, scheduleOf } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { beliefFrom, believes } from '../belief.ts'
import { Player } from '../play/player.ts'
import type { PlayedRead } from '../play/player.ts'
import { playFrame } from '../play/rounds.ts'
import type { Timing } from '../play/timing.ts'
import { takenInputs } from '../sight.ts'

/** One read as the title had it: what stood on the pins when it asked for six buttons, and at each of its samples. */
export interface SampledRead {
  readonly identification: Phase | null
  readonly samples: readonly Phase[]
}

/** Enough for what a frame leaves behind to show in the next. */
const FRAMES = 4

/** A title in front of a profile for some frames from power-on. What is held does not matter yet: see {@link seen}. */
export function playReads({ chart }: Profile, title: Title, timing: Timing): SampledRead[] {
  const player = new Player(scheduleOf(title), timing)
  const reads = Array.from({ length: FRAMES }, () => playFrame(player)).flat()
  return reads.map((read) => sampled(read, chart))
}

function sampled({ nodes }: PlayedRead, chart: Profile['chart']): SampledRead {
  let identification: Phase | null = null
  const samples: Phase[] = []
  for (const { met } of nodes)
    for (const { sample, rises, level } of met) {
      const phase = phaseAt(chart, rises, level)
      for (const use of sample.uses)
        if (use === IDENTIFIES) identification = phase
        else samples[use] = phase
    }
  return { identification, samples }
}

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
  for (const { identification, samples } of reads) {
    const six = believes(beliefFrom(title, identification), held)
    title.samples.forEach(({ pins, when }, k) => {
      const takes = when === 'always' || six
      for (const pin of PINS) {
        const taken = pins[pin]
        if (taken === undefined) continue
        const input = inputBit(taken)
        if (takes && cellLevel(samples[k]?.[pin] ?? 'high', held) === 'low') pressed |= input
        // A read without six buttons lets the extra ones go, and no others.
        else if (takes || !(always & input)) letGo |= input
        if (takes) sampled |= input
      }
    })
  }
  return { pressed, flickering: pressed & letGo, sampled }
}
