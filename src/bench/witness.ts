import type { Chart } from '../port/chart.ts'
import type { Level } from '../port/pins.ts'
import type { Title } from '../title/schema.ts'
import type { Box } from './box.ts'
import { follow } from './explore.ts'
import type { SampledReply, Recorder, ReplyCode, Trail } from './explore.ts'
import type { Zone } from './zone.ts'

/** One timing of a box in which a sample meets what the bench says that it can meet: whoever doubts the bench can play it. */
export interface Witness {
  /** All reads from power-on to the one with the sample, in ns from the place of the first. */
  readonly reads: readonly WitnessRead[]
  /** Everything that the pad counts, in the order in which it does. */
  readonly counted: readonly Counted[]
  /** The sample, in the last of the reads. */
  readonly sampleNs: number
  /** Some sample of that read comes in the very instant of a change, and must meet the side of it that is worse. */
  readonly isOnEdge: boolean
}

export interface WitnessRead {
  readonly placeNs: number
  readonly startNs: number
  /** Select as the title writes it; a line that is let go has risen at `risesNs`, if no fall comes first. */
  readonly writes: readonly {
    readonly atNs: number
    readonly level: Level
    readonly risesNs: number | null
  }[]
  readonly samples: readonly { readonly atNs: number; readonly phase: number }[]
}

export interface Counted {
  readonly what: 'rise' | 'fall' | 'reset'
  readonly atNs: number
  /** From when the pins show it. */
  readonly shownNs: number
  readonly code: ReplyCode
  /** After a rise: when the idle reset comes, if no rise comes first. */
  readonly resetsNs: number | null
}

/** A timing that shows this sample, as deep inside the reply that it meets as it can be. */
export function witnessOf(
  title: Title,
  chart: Chart,
  box: Box,
  sample: Pick<SampledReply, 'frame' | 'read' | 'phase' | 'insideNs' | 'trail'>,
): Witness {
  const told = new WitnessRecorder(choicesOf(sample.trail))
  const count = sample.frame * title.readOffsetsNs.length + sample.read + 1
  const zone = follow(title, chart, box, count, told)
  const last = told.reads[told.reads.length - 1]
  const target = last?.samples.find(({ phase }) => phase === sample.phase)
  if (target === undefined) throw new Error('the trail has no such sample')
  // A line that is let go rises as late as it can: that shows best what a slow rise does.
  const release = last?.writes.find(({ phase }) => phase === sample.phase)
  if (release !== undefined && release.rises !== null)
    zone.bound(release.at, release.rises, -zone.most(release.rises, release.at))
  const isDeep = deepen(zone, target, sample.insideNs)
  const others = (last?.samples ?? []).map((other) => other === target || deepen(zone, other, 1))
  return { ...told.at(zone.earliestNs(), target.at), isOnEdge: !isDeep || others.includes(false) }
}

/** Keeps only the timings in which a sample is as far as it can be from the ends of the reply that it meets, up to `mostNs`. */
function deepen(zone: Zone, { at, from, until }: RecordedSample, mostNs: number): boolean {
  for (let deepNs = mostNs; deepNs >= 1; deepNs = Math.floor(deepNs / 2)) {
    const tried = zone.copy()
    // Nothing comes before the first reply; a sample that comes as one begins meets it already.
    const isAfter = from < 0 || tried.bound(from, at, mostNs > 1 ? -deepNs : 0)
    if (!isAfter || (until >= 0 && !tried.bound(at, until, -deepNs))) continue
    if (from >= 0) zone.bound(from, at, mostNs > 1 ? -deepNs : 0)
    if (until >= 0) zone.bound(at, until, -deepNs)
    return true
  }
  return false
}

function choicesOf(trail: Trail | null): number[] {
  const choices: number[] = []
  for (let at = trail; at !== null; at = at.before) choices.push(at.choice)
  return choices.reverse()
}

interface RecordedSample {
  readonly at: number
  readonly phase: number
  readonly from: number
  readonly until: number
}

/** Writes down the instants of a trail, to give each its time once the times are known. */
class WitnessRecorder implements Recorder {
  next = 0
  readonly reads: {
    readonly place: number
    readonly start: number
    readonly writes: {
      readonly at: number
      readonly phase: number
      readonly level: Level
      rises: number | null
    }[]
    readonly samples: RecordedSample[]
  }[] = []
  readonly #counted: {
    what: Counted['what']
    at: number
    shows: number
    code: ReplyCode
    reset: number | null
  }[] = []

  constructor(readonly choices: readonly number[]) {}

  read(place: number, start: number): void {
    this.reads.push({ place, start, writes: [], samples: [] })
  }

  write(at: number, level: Level, phase: number): void {
    this.#now.writes.push({ at, level, phase, rises: null })
  }

  rises(at: number): void {
    const write = this.#now.writes[this.#now.writes.length - 1]
    if (write) write.rises = at
  }

  counts(what: Counted['what'], at: number, shows: number, code: ReplyCode): void {
    this.#counted.push({ what, at, shows, code, reset: null })
  }

  arms(reset: number): void {
    const rise = this.#counted[this.#counted.length - 1]
    if (rise) rise.reset = reset
  }

  sample(at: number, phase: number, from: number, until: number): void {
    this.#now.samples.push({ at, phase, from, until })
  }

  at(ns: readonly number[], sample: number): Omit<Witness, 'isOnEdge'> {
    const of = (instant: number): number => ns[instant] as number
    return {
      reads: this.reads.map(({ place, start, writes, samples }) => ({
        placeNs: of(place),
        startNs: of(start),
        writes: writes.map(({ at, level, rises }) => ({
          atNs: of(at),
          level,
          risesNs: rises === null ? null : of(rises),
        })),
        samples: samples.map(({ at, phase }) => ({ atNs: of(at), phase })),
      })),
      counted: this.#counted.map(({ what, at, shows, code, reset }) => ({
        what,
        atNs: of(at),
        shownNs: of(shows),
        code,
        resetsNs: reset === null ? null : of(reset),
      })),
      sampleNs: of(sample),
    }
  }

  get #now() {
    const read = this.reads[this.reads.length - 1]
    if (read === undefined) throw new Error('nothing happens before the first read')
    return read
  }
}
