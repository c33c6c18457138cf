import { inputList } from '../port/input-texts.ts'
import type { Level, Pin } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { meantAt, playedRead, witnessedRead } from './drawn-read.ts'
import type { DrawnRead } from './drawn-read.ts'
import type { Counterexample, Judgement, CabledAdapter } from './judgement.ts'
import { middlePlayer } from './play/middle-player.ts'
import { shownMisread } from './shown-misread.ts'

/** One sample of a read, placed on the chart by the phase that it is meant for. */
export interface ReadSample {
  /** Rises since the last reset, that is the column of the chart; may lie past the last cycle. */
  readonly cycle: number
  readonly level: Level
  /** Since the read began, in ns. */
  readonly timeNs: number
  /** Since the edge that opened the phase, in ns. */
  readonly afterEdgeNs: number
  /** Where it stands between the edge that opened the phase (0) and the one that ends it (1). */
  readonly columnFraction: number
}

/** How a title reads the port once, for drawing over the chart: the read that the judgement speaks of. */
export interface Reading {
  readonly titleName: string
  /** In order of time. */
  readonly samples: readonly ReadSample[]
  /** The sample that the counterexample names, the pins at fault, and what is seen: "Up and Down", "no X". */
  readonly guilty?: { readonly sampleIndex: number; readonly pins: readonly Pin[]; readonly sees: string }
  /** The sample that makes a judgement tight, and what it has to spare, in ns. */
  readonly tight?: { readonly sampleIndex: number; readonly spareNs: number }
  readonly axis: { readonly startNs: number; readonly endNs: number }
}

/**
 * The read of a title that its judgement speaks of: a misread in a timing that shows it, all else with every time in the middle of its
 * range.
 */
export function reading(
  profile: Profile,
  title: Title,
  adapter: CabledAdapter,
  judgement: Judgement,
): Reading {
  const { counterexample, tightest, verdict, marginNs } = judgement
  // No timing is to blame for opposite directions.
  const isTimed = counterexample !== null && counterexample.cause !== 'opposite'
  const shown = isTimed ? shownMisread(profile, title, adapter) : null
  const modes = title.modes.length
  const place = counterexample?.place ?? tightest ?? { mode: modes, frame: 1, read: 1, step: 1 }
  const read = shown
    ? witnessedRead(shown.witness)
    : playedRead(middlePlayer(profile, title, adapter, place.mode - 1), {
        mode: place.mode - 1,
        frame: place.frame - 1,
        read: place.read - 1,
      })
  const base = { titleName: title.name, ...drawn(read) }
  const taken = scheduleOf(title).samples
  // Only a judgement of an earlier edit names a step that takes no sample.
  const indexOf = ({ step }: { readonly step: number }): number =>
    read.samples.findIndex(({ sample }) => sample.uses.some((use) => taken[use]?.place.step === step - 1))
  const example = shown?.example ?? counterexample
  if (example !== null) {
    const sampleIndex = shown
      ? read.samples.findIndex(({ sample }) => sample === shown.sample)
      : indexOf(example.place)
    if (sampleIndex === -1) return base
    return { ...base, guilty: { sampleIndex, pins: example.pins, sees: seesInstead(example) } }
  }
  if (verdict !== 'tight' || tightest === null || marginNs === null) return base
  const sampleIndex = indexOf(tightest)
  return sampleIndex === -1 ? base : { ...base, tight: { sampleIndex, spareNs: marginNs } }
}

function seesInstead({ held, phantom, missed }: Counterexample): string {
  if (phantom.length > 0) return inputList(phantom)
  return missed.length > 0 ? `no ${inputList(missed)}` : inputList(held)
}

function drawn(read: DrawnRead): Pick<Reading, 'samples' | 'axis'> {
  const { startNs, samples } = read
  const first = samples[0]
  const last = samples[samples.length - 1]
  if (first === undefined || last === undefined) throw new Error('a title takes a sample in every read')
  return {
    samples: samples.map((sample): ReadSample => {
      const { rises, level } = meantAt(read, sample)
      const afterEdgeNs = sample.atNs - sample.opensNs
      return {
        cycle: rises,
        level,
        timeNs: sample.atNs - startNs,
        afterEdgeNs,
        columnFraction: afterEdgeNs / (sample.closesNs - sample.opensNs),
      }
    }),
    axis: { startNs: first.opensNs - startNs, endNs: last.closesNs - startNs },
  }
}
