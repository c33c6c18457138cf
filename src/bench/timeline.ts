import { frameNs } from '../port/clocks.ts'
import type { Chart } from '../port/chart.ts'
import { SelectCounter } from '../port/counter.ts'
import type { Level } from '../port/pins.ts'
import type { Title } from '../title/schema.ts'
import type { Corner } from './corners.ts'
import { rowAt, shapeOf } from './reach/shape.ts'

/** From `fromNs` on the pins show the reply to `rises` rises at `level`. */
export interface ShownReply {
  readonly fromNs: number
  readonly rises: number
  readonly level: Level
  /** When the title wrote the edge that this answers; `null` for a reset and for the start. */
  readonly writtenNs: number | null
}

/** One sample of the title at the pins. */
export interface TimedSample {
  readonly atNs: number
  /** Index into the title's samples; -1 is the identification. */
  readonly index: number
  readonly frame: number
  readonly read: number
  readonly readStartNs: number
  readonly phaseStartNs: number
}

export interface Timeline {
  readonly shown: readonly ShownReply[]
  readonly samples: readonly TimedSample[]
  /** Time between every two rises that follow one another, each length once. */
  readonly gapsNs: ReadonlySet<number>
}

/** No pattern needs more frames than this until it repeats; a bound against a pattern that never does. */
const MOST_FRAMES = 24

/**
 * A title in front of a counter, from power-on until the state at the start of a frame comes again: after that,
 * nothing new happens. Everything is an integer of ns; nothing is rounded but the frame itself.
 */
export function runTitle(title: Title, chart: Chart, corner: Corner): Timeline {
  const pad = new Pad(title.rest, corner)
  const samples: TimedSample[] = []
  const lengthNs = frameNs(title.standard)
  const met = new Set<string>()
  for (let frame = 0; frame < MOST_FRAMES; frame++) {
    const startNs = frame * lengthNs
    const state = pad.stateAt(startNs, chart)
    if (met.has(state)) break
    met.add(state)
    title.readOffsetsNs.forEach((offsetNs, read) => {
      sampleDuring(title, corner, frame, read, startNs + offsetNs, samples)
      writeRead(title, corner, startNs + offsetNs, pad)
    })
    pad.advance(startNs + lengthNs - 1)
  }
  return { shown: pad.shown, samples, gapsNs: pad.gapsNs }
}

/** Time from the start of a read to a phase of it. */
const phaseNs = (cycle: number, level: Level, corner: Corner): number =>
  ((cycle - 1) * 2 + (level === 'low' ? 1 : 0)) * corner.edgeSpacingNs

function sampleDuring(
  title: Title,
  corner: Corner,
  frame: number,
  read: number,
  readStartNs: number,
  samples: TimedSample[],
): void {
  const sample = (index: number, cycle: number, level: Level) => {
    const phaseStartNs = readStartNs + phaseNs(cycle, level, corner)
    samples.push({
      atNs: phaseStartNs + corner.sampleAfterEdgeNs,
      index,
      frame,
      read,
      readStartNs,
      phaseStartNs,
    })
  }
  if (title.sixButtons.kind === 'identified') sample(-1, title.sixButtons.cycle, title.sixButtons.level)
  title.samples.forEach(({ cycle, level }, k) => sample(k, cycle, level))
}

/** The title's writes of one read. From rest high the first phase needs no edge, and a rise at the end brings it back. */
function writeRead(title: Title, corner: Corner, readStartNs: number, pad: Pad): void {
  const first = title.rest === 'high' ? 1 : 0
  for (let step = first; step < 2 * title.cyclesPerRead + first; step++) {
    pad.write(readStartNs + step * corner.edgeSpacingNs, step % 2 === 0 ? 'high' : 'low')
  }
}

/** The pad's side of a title: what select does there, and a record of what the pins show of it. */
class Pad {
  readonly shown: ShownReply[]
  readonly gapsNs = new Set<number>()
  readonly #counter: SelectCounter
  /** The last rise of all; unlike the counter's it outlives the reset. */
  #lastRiseNs: number | null = null
  /** A released line on its way up. */
  #rising: { readonly arrivesNs: number; readonly writtenNs: number } | null = null

  constructor(
    rest: Level,
    private readonly corner: Corner,
  ) {
    this.#counter = new SelectCounter(corner.idleResetNs, rest)
    this.shown = [{ fromNs: Number.NEGATIVE_INFINITY, rises: 0, level: rest, writtenNs: null }]
  }

  write(atNs: number, level: Level): void {
    if (level === 'high') {
      this.#rising = { arrivesNs: atNs + this.corner.riseNs, writtenNs: atNs }
      return
    }
    // A fall at the very instant at which the line would have passed the threshold comes first.
    this.advance(atNs - 1)
    this.#rising = null
    this.#reset(atNs)
    if (this.#counter.select(atNs, 'low')) this.#show(atNs, atNs)
  }

  /** Lets time pass, up to and including `toNs`. */
  advance(toNs: number): void {
    if (this.#rising !== null && this.#rising.arrivesNs <= toNs) {
      const { arrivesNs, writtenNs } = this.#rising
      this.#rising = null
      this.#reset(arrivesNs)
      if (this.#counter.select(arrivesNs, 'high')) {
        if (this.#lastRiseNs !== null) this.gapsNs.add(arrivesNs - this.#lastRiseNs)
        this.#lastRiseNs = arrivesNs
        this.#show(arrivesNs, writtenNs)
      }
    }
    this.#reset(toNs)
  }

  /** What the future hangs on, seen from the start of a frame. */
  stateAt(frameStartNs: number, chart: Chart): string {
    this.advance(frameStartNs - 1)
    const { level, rises, nextResetNs: lastRiseNs } = this.#counter
    const rising = this.#rising === null ? '' : this.#rising.arrivesNs - frameStartNs
    return `${level} ${rowAt(shapeOf(chart), rises)} ${lastRiseNs === null ? '' : lastRiseNs - frameStartNs} ${rising}`
  }

  #reset(byNs: number): void {
    const atNs = this.#counter.resetBy(byNs)
    if (atNs !== null) this.#show(atNs, null)
  }

  #show(atNs: number, writtenNs: number | null): void {
    const { rises, level } = this.#counter
    // A title never leaves select unknown.
    this.shown.push({ fromNs: atNs + this.corner.replyNs, rises, level: level as Level, writtenNs })
  }
}
