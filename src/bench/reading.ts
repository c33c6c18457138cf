import { inputList } from '../port/input-texts.ts'
import type { Level, Pin } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { ReadPlace } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { drawableReads, readOfNode } from './drawable-reads.ts'
import type { DrawableRead } from './drawable-reads.ts'
import { meantAt, playedRead, witnessedRead } from './drawn-read.ts'
import type { DrawnRead } from './drawn-read.ts'
import type { Counterexample, Judgement, CabledAdapter, SamplePlace } from './judgement.ts'
import { middlePlayer } from './play/middle-player.ts'
import type { PlayedRead } from './play/player.ts'
import { ReadFaults } from './read-faults.ts'
import type { ReadFault } from './read-faults.ts'

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

/** A read that can be drawn instead of another. */
export interface ReadChoice {
  readonly place: ReadPlace
  /** Whether the judgement speaks of it: the one that is drawn where nothing is chosen. */
  readonly isJudged: boolean
  readonly isDrawn: boolean
  /** Whether something is wrong in it, whatever the judgement speaks of. */
  readonly isWrong: boolean
}

/** How a title reads the port once, for drawing over the chart. */
export interface Reading {
  readonly titleName: string
  /** The reads to choose from, in the order of the file; none where all reads of the title are alike. */
  readonly choices: readonly ReadChoice[]
  /** In order of time. */
  readonly samples: readonly ReadSample[]
  /** The sample that goes wrong, the pins at fault, and what is seen: "Up and Down", "no X". */
  readonly guilty?: { readonly sampleIndex: number; readonly pins: readonly Pin[]; readonly sees: string }
  /** The sample that has less to spare than is asked for, and what it has, in ns. */
  readonly tight?: { readonly sampleIndex: number; readonly spareNs: number }
  readonly axis: { readonly startNs: number; readonly endNs: number }
}

/** A read that was chosen to be drawn, and the margin, in ns, below which a sample of it is called tight. */
export interface ChosenRead {
  readonly place: ReadPlace
  readonly marginNs: number
}

/**
 * The read of a title that its judgement speaks of, or another one that was chosen: a misread in a timing that shows it, all else with every
 * time in the middle of its range.
 *
 * @param chosen `null`, or a read that the title has no more: the one that the judgement speaks of
 */
export function reading(
  profile: Profile,
  title: Title,
  adapter: CabledAdapter,
  judgement: Judgement,
  chosen: ChosenRead | null = null,
): Reading {
  const reads = drawableReads(title)
  const judged = judgedRead(reads, judgement)
  const drawn = (chosen && reads.find(({ has }) => has(chosen.place))) ?? judged
  const faults = new ReadFaults(profile, title, adapter)
  const fault =
    drawn === undefined || drawn === judged || chosen === null
      ? faults.judged(judgement)
      : faults.within(drawn, chosen.marginNs)
  const read = fault.shown
    ? witnessedRead(fault.shown.witness)
    : playedRead(middlePlayer(profile, title, adapter, drawn?.place.mode), isPlace(title, drawn, fault.place))
  const isWrong = (one: DrawableRead): boolean =>
    judgement.verdict === 'misread' && (one === judged || faults.isWrong(one))
  return {
    titleName: title.name,
    choices:
      reads.length < 2
        ? []
        : reads.map((one) => ({
            place: one.place,
            isJudged: one === judged,
            isDrawn: one === drawn,
            isWrong: isWrong(one),
          })),
    ...drawing(read),
    ...markOf(title, read, fault),
  }
}

/** The read that a judgement speaks of; without one, the first of the mode that comes last, as titles list what comes at power-on first. */
function judgedRead(
  reads: readonly DrawableRead[],
  { counterexample, tightest }: Judgement,
): DrawableRead | undefined {
  const place = counterexample?.place ?? tightest
  const read = place && reads.find(({ has }) => has({ mode: place.mode - 1, read: place.readOfMode - 1 }))
  const lastMode = reads.at(-1)?.place.mode
  return read ?? reads.find(({ place: { mode } }) => mode === lastMode)
}

/** Whether a read as it is played is the one to draw: the one in which a sample was found, or else the first of its kind. */
function isPlace(
  title: Title,
  drawn: DrawableRead | undefined,
  place: SamplePlace | null,
): (read: PlayedRead) => boolean {
  const schedule = scheduleOf(title)
  const isOne = ({ nodes: [first] }: PlayedRead): boolean =>
    drawn === undefined || (first !== undefined && drawn.has(readOfNode(schedule, first.node)))
  // A judgement of an earlier edit can name a read that has gone since.
  const isThere =
    place !== null &&
    drawn?.has({ mode: place.mode - 1, read: place.readOfMode - 1 }) === true &&
    schedule.nodes.some(
      (node) =>
        node.mode === place.mode - 1 &&
        node.readOfFrame === place.read - 1 &&
        drawn.has(readOfNode(schedule, node)),
    )
  if (!isThere) return isOne
  return (read) => read.frame >= place.frame - 1 && read.read === place.read - 1 && isOne(read)
}

/** The mark of what goes wrong or is tight in a read; none where a judgement of an earlier edit names a step that takes no sample any more. */
function markOf(
  title: Title,
  read: DrawnRead,
  { example, shown, tight }: ReadFault,
): Pick<Reading, 'guilty' | 'tight'> {
  const { samples } = scheduleOf(title)
  const indexOf = ({ step }: SamplePlace): number =>
    read.samples.findIndex(({ sample }) => sample.uses.some((use) => samples[use]?.place.step === step - 1))
  if (example !== null) {
    const sampleIndex = shown
      ? read.samples.findIndex(({ sample }) => sample === shown.sample)
      : indexOf(example.place)
    return sampleIndex === -1
      ? {}
      : { guilty: { sampleIndex, pins: example.pins, sees: seesInstead(example) } }
  }
  if (tight === null) return {}
  const sampleIndex = indexOf(tight.place)
  return sampleIndex === -1 ? {} : { tight: { sampleIndex, spareNs: tight.spareNs } }
}

function seesInstead({ held, phantom, missed }: Counterexample): string {
  if (phantom.length > 0) return inputList(phantom)
  return missed.length > 0 ? `no ${inputList(missed)}` : inputList(held)
}

function drawing(read: DrawnRead): Pick<Reading, 'samples' | 'axis'> {
  const { startNs, samples } = read
  const first = samples[0]
  const last = samples[samples.length - 1]
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
    // A title that takes no sample has nothing to be drawn.
    axis: { startNs: (first?.opensNs ?? startNs) - startNs, endNs: (last?.closesNs ?? startNs) - startNs },
  }
}
