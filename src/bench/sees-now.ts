import { phaseAt, pinsOf } from '../port/chart.ts'
import { PINS, inputBit, pinLevel } from '../port/pins.ts'
import type { InputMask, PinBits } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { middleCorner } from './corners.ts'
import type { CabledAdapter } from './judgement.ts'
import { runTitle } from './timeline.ts'
import type { TimedSample, ShownReply } from './timeline.ts'

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

/** One sample with what stands on the pins at that instant. */
interface Glance {
  /** Index into the title's samples; -1 is the identification. */
  readonly index: number
  readonly shown: Pick<ShownReply, 'rises' | 'level'>
}

/**
 * A title in front of a profile, asked over and over what it sees of what is held: the timing is played once, every time in the middle
 * of its range, and only the pins are looked up anew. Whether other timings see the same is for `judge.ts` to say.
 */
export class TitleEyes {
  readonly #profile: Profile
  readonly #title: Title
  readonly #reads: readonly (readonly Glance[])[]

  constructor(profile: Profile, title: Title, adapter: CabledAdapter) {
    this.#profile = profile
    this.#title = title
    const { shown, samples } = runTitle(title, profile.chart, middleCorner(profile, title, adapter))
    const reads = new Map<string, Glance[]>()
    for (const sample of samples) {
      const key = `${sample.frame} ${sample.read}`
      const glance = { index: sample.index, shown: standsAt(shown, sample) }
      reads.set(key, [...(reads.get(key) ?? []), glance])
    }
    this.#reads = [...reads.values()]
  }

  /** What it sees while exactly these inputs are on the port: one entry for each picture that differs, the most frequent first. */
  sees(inputs: InputMask): readonly SeenNow[] {
    const pictures = new Map<string, SeenNow>()
    for (const glances of this.#reads) {
      const seen = this.#read(glances, inputs)
      const key = `${seen.inputs} ${seen.sixButtons}`
      pictures.set(key, { ...seen, reads: (pictures.get(key)?.reads ?? 0) + 1 })
    }
    return [...pictures.values()].sort((a, b) => b.reads - a.reads)
  }

  #read(glances: readonly Glance[], inputs: InputMask): Omit<SeenNow, 'reads'> {
    const { sixButtons, samples } = this.#title
    const pins = ({ shown }: Glance): PinBits =>
      pinsOf(phaseAt(this.#profile.chart, shown.rises, shown.level), inputs)
    const believes =
      sixButtons.kind === 'assumed' ||
      (sixButtons.kind === 'identified' &&
        glances.some(
          (glance) =>
            glance.index === -1 && sixButtons.lowPins.every((pin) => pinLevel(pins(glance), pin) === 'low'),
        ))
    let seen: InputMask = 0
    let sampled: InputMask = 0
    for (const glance of glances) {
      const sample = samples[glance.index]
      if (!sample || (sample.when === 'six-buttons' && !believes)) continue
      const bits = pins(glance)
      for (const pin of PINS) {
        const taken = sample.pins[pin]
        if (taken === undefined) continue
        sampled |= inputBit(taken)
        if (pinLevel(bits, pin) === 'low') seen |= inputBit(taken)
      }
    }
    return { inputs: seen, sixButtons: believes, sampled }
  }
}

const standsAt = (shown: readonly ShownReply[], { atNs }: TimedSample): ShownReply => {
  let stands = shown[0] as ShownReply
  for (const entry of shown) {
    if (entry.fromNs > atNs) break
    stands = entry
  }
  return stands
}
