import { cellLevel, phaseAt } from '../port/chart.ts'
import type { Phase } from '../port/chart.ts'
import { PINS, inputBit } from '../port/pins.ts'
import type { InputMask, Level } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Schedule } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { Told, believes } from './belief.ts'
import type { CabledAdapter } from './judgement.ts'
import { usualCourse } from './play/course.ts'
import { middlePlayer } from './play/middle-player.ts'
import { playRounds } from './play/rounds.ts'
import { shapeOf } from './reach/shape.ts'

/** What a title sees in some of its reads. */
export interface SeenNow {
  /** Inputs that it takes for pressed. */
  readonly inputs: InputMask
  /** Whether it believes in six buttons in these reads. */
  readonly sixButtons: boolean
  /** Inputs that it samples in these reads. */
  readonly sampled: InputMask
  /** How many of the reads that were played see just this. */
  readonly reads: number
}

/** One sample of the pins with what answers then. */
interface Glance {
  /** Samples of the title by their index, and `IDENTIFIES`. */
  readonly uses: readonly number[]
  readonly phase: Phase
  /** Of select. */
  readonly level: Level
}

/** A read with all its samples. */
interface Look {
  readonly glances: readonly Glance[]
  /** Whether it belongs to the mode that is shown: what another one does not sample cannot be misread there. */
  readonly isShown: boolean
}

/**
 * A title in its last mode in front of a profile, asked over and over what it sees of what is held: the timing is played once, every time in the middle
 * of its range, and only the pins are looked up anew. Whether other timings see the same is for `judge.ts` to say.
 */
export class TitleEyes {
  readonly #schedule: Schedule
  readonly #reads: readonly Look[]

  constructor(profile: Profile, title: Title, adapter: CabledAdapter) {
    const { chart } = profile
    this.#schedule = scheduleOf(title)
    const { mode: shown } = usualCourse(title)
    const { frames } = playRounds(middlePlayer(profile, title, adapter), shapeOf(chart), (reads) =>
      reads.map(({ nodes, mode }) => ({
        isShown: mode === shown,
        glances: nodes.flatMap(({ met }) =>
          met.map(({ sample, rises, level }) => ({
            uses: sample.uses,
            phase: phaseAt(chart, rises, level),
            level,
          })),
        ),
      })),
    )
    this.#reads = frames.flat()
  }

  /** What it sees while exactly these inputs are on the port: one entry for each picture that differs, the most frequent first. */
  sees(inputs: InputMask): readonly SeenNow[] {
    const pictures = new Map<string, SeenNow>()
    const told = new Told(this.#schedule.sixButtons)
    for (const { glances, isShown } of this.#reads) {
      // What is told in another mode can hold onwards.
      const seen = this.#read(glances, inputs, told)
      if (!isShown) continue
      const key = `${seen.inputs} ${seen.sixButtons}`
      pictures.set(key, { ...seen, reads: (pictures.get(key)?.reads ?? 0) + 1 })
    }
    return [...pictures.values()].sort((a, b) => b.reads - a.reads)
  }

  #read(glances: readonly Glance[], inputs: InputMask, told: Told): Omit<SeenNow, 'reads'> {
    told.startRead()
    for (const { uses, phase } of glances) for (const use of uses) told.meet(use, phase)
    const sixButtons = believes(told.belief, inputs)
    let seen: InputMask = 0
    let sampled: InputMask = 0
    for (const { uses, phase, level } of glances)
      for (const use of uses) {
        const sample = this.#schedule.samples[use]
        if (!sample || (sample.when === 'six-buttons' && !sixButtons)) continue
        if (sample.readBack !== null && level === 'low') seen |= inputBit(sample.readBack)
        for (const pin of PINS) {
          const taken = sample.pins[pin]
          if (taken === undefined) continue
          sampled |= inputBit(taken)
          if (cellLevel(phase[pin], inputs) === 'low') seen |= inputBit(taken)
        }
      }
    return { inputs: seen, sixButtons, sampled }
  }
}
