import type { Level, Pin } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { middleCorner } from './corners.ts'
import type { Judgement, SamplePlace, CabledAdapter } from './judgement.ts'
import { runTitle } from './timeline.ts'
import type { TimedSample, ShownReply } from './timeline.ts'
import { inputList } from '../port/input-texts.ts'

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

/** The read of a title that its judgement speaks of, with every time in the middle of its range. */
export function reading(
  profile: Profile,
  title: Title,
  adapter: CabledAdapter,
  judgement: Judgement,
): Reading {
  const corner = middleCorner(profile, title, adapter)
  const { shown, samples: taken } = runTitle(title, profile.chart, corner)
  const place = judgement.counterexample?.place ?? judgement.tightest
  const inRead = (frame: number, read: number): TimedSample[] =>
    taken.filter((sample) => sample.frame === frame - 1 && sample.read === read - 1)
  const found = place === null ? [] : inRead(place.frame, place.read)
  const chosen = inOrder(found.length > 0 ? found : inRead(1, 1))

  const samples = chosen.map((sample): ReadSample => {
    const { rises, level } = settledAt(shown, sample)
    return {
      cycle: rises,
      level,
      timeNs: sample.atNs - sample.readStartNs,
      afterEdgeNs: sample.atNs - sample.phaseStartNs,
      columnFraction: (sample.atNs - sample.phaseStartNs) / corner.edgeSpacingNs,
    }
  })
  const first = chosen[0] as TimedSample
  const last = chosen[chosen.length - 1] as TimedSample
  const base = {
    titleName: title.name,
    samples,
    axis: {
      startNs: first.phaseStartNs - first.readStartNs,
      endNs: last.phaseStartNs - last.readStartNs + corner.edgeSpacingNs,
    },
  }
  const indexOf = ({ cycle, level }: Pick<SamplePlace, 'cycle' | 'level'>): number => {
    const phaseStartNs = ((cycle - 1) * 2 + (level === 'low' ? 1 : 0)) * corner.edgeSpacingNs
    return chosen.findIndex((sample) => sample.phaseStartNs - sample.readStartNs === phaseStartNs)
  }
  const { counterexample: example, tightest, verdict, marginNs } = judgement
  if (verdict === 'tight' && tightest !== null && marginNs !== null) {
    const sampleIndex = indexOf(tightest)
    return sampleIndex === -1 ? base : { ...base, tight: { sampleIndex, spareNs: marginNs } }
  }
  if (example === null) return base
  const sampleIndex = indexOf(example.place)
  if (sampleIndex === -1) return base
  const sees = example.phantom.length > 0 ? inputList(example.phantom) : `no ${inputList(example.missed)}`
  return { ...base, guilty: { sampleIndex, pins: example.pins, sees } }
}

/** Samples in order of time, one for each instant: an identification and a sample in the same phase are one sample of the pins. */
const inOrder = (samples: TimedSample[]): TimedSample[] =>
  samples.sort((p, q) => p.atNs - q.atNs).filter((sample, k, all) => sample.atNs !== all[k - 1]?.atNs)

/** What the pins answer once the edge that opened the sample's phase has reached them. */
function settledAt(shown: readonly ShownReply[], sample: TimedSample): ShownReply {
  let settled = shown[0] as ShownReply
  for (const entry of shown) {
    if (entry.writtenNs === null ? entry.fromNs > sample.atNs : entry.writtenNs > sample.phaseStartNs) break
    settled = entry
  }
  return settled
}
