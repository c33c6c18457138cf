import { frameNs } from '../../port/clocks.ts'
import { PortEngine } from '../../port/engine.ts'
import type { Replier } from '../../port/engine.ts'
import { PINS, inputBit, pinLevel } from '../../port/pins.ts'
import type { Input, InputMask, Level, Pin, PinBits } from '../../port/pins.ts'
import { ProfileRunner } from '../../profile/run-profile.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { Corner } from '../corners.ts'
import { rowAt } from '../timeline.ts'

/** One sample of a title at one input, as the title takes it. */
export interface InputSample {
  /** Since the frame began, in ns. */
  readonly atNs: number
  /** Read within the frame, from 0. */
  readonly read: number
  /** Index into the title's samples. */
  readonly index: number
  readonly pressed: boolean
}

export interface PlayedFrame {
  readonly samples: readonly InputSample[]
  /** Idle resets that reached the pins in this frame. */
  readonly resets: number
}

/** Frames from power-on: `lead` of them that do not come again, then `period` that come again for ever. */
export interface Played {
  readonly lead: number
  readonly period: number
  /** `lead + period` frames. */
  readonly frames: readonly PlayedFrame[]
}

/** From when on the input is held: power-on (0), or the instant after so many idle resets have reached the pins. */
export interface Press {
  readonly afterResets: number
}

/** Frame `k` from 0, however far. */
export const frameOf = ({ lead, period, frames }: Played, k: number): PlayedFrame =>
  frames[k < lead ? k : lead + ((k - lead) % period)] as PlayedFrame

/**
 * Plays a title against a profile, every time at the corner's value, until what the future hangs on comes again. Both
 * are finite machines, so it does.
 *
 * @param input the samples of this one are told, and this one is held; its repeat, if it has one, counts reads
 * @param press `null`: it is not held
 */
export function play(
  profile: Profile,
  title: Title,
  corner: Corner,
  input: Input,
  press: Press | null,
): Played {
  const table = new Table(profile, title, corner, input, press)
  const met = new Map<string, number>()
  const frames: PlayedFrame[] = []
  for (;;) {
    const state = table.stateAt(frames.length)
    const before = met.get(state)
    if (before !== undefined) return { lead: before, period: frames.length - before, frames }
    met.set(state, frames.length)
    frames.push(table.playFrame(frames.length))
  }
}

/** A profile at work that keeps count of its idle resets, and of what it was last asked to show. */
class CountingReplier implements Replier {
  readonly idleResetNs: number
  readonly delayNs: number
  resets = 0
  shown: { readonly rises: number; readonly level: Level } | null = null
  readonly #runner: ProfileRunner

  constructor(
    profile: Profile,
    corner: Corner,
    private readonly held: InputMask,
    private readonly press: Press | null,
  ) {
    this.#runner = new ProfileRunner(profile)
    this.idleResetNs = corner.idleResetNs
    this.delayNs = corner.replyNs
    this.#pressWhenDue()
  }

  /** Idle resets since the press; negative while it is still to come, 0 where none will. */
  get resetsSincePress(): number {
    return this.press === null ? 0 : this.resets - this.press.afterResets
  }

  pinsAt(rises: number, level: Level): PinBits {
    this.shown = { rises, level }
    return this.#runner.pinsAt(rises, level)
  }

  readEnded(): void {
    this.resets += 1
    this.#runner.readEnded()
    this.#pressWhenDue()
  }

  #pressWhenDue(): void {
    if (this.press?.afterResets === this.resets) this.#runner.ask(this.held)
  }
}

/** Title, select line and port at one table. */
class Table {
  readonly #replier: CountingReplier
  readonly #engine: PortEngine
  readonly #frameNs: number
  readonly #steps: readonly Step[]
  /** Idle resets after which the steady repeat of the input stands where it stood. */
  readonly #repeatResets: number
  /** A released line on its way up. */
  #risesAtNs: number | null = null
  #lastRiseNs: number | null = null
  /** Edges that may not have reached the pins yet. */
  #edges: { readonly atNs: number; readonly level: Level }[] = []

  constructor(
    private readonly profile: Profile,
    private readonly title: Title,
    private readonly corner: Corner,
    private readonly input: Input,
    press: Press | null,
  ) {
    this.#replier = new CountingReplier(profile, corner, inputBit(input), press)
    this.#engine = new PortEngine(this.#replier, title.rest)
    this.#frameNs = frameNs(title.standard)
    this.#steps = stepsOfRead(title, corner)
    const repeat = profile.repeat[input]
    this.#repeatResets = repeat?.kind === 'reads' ? repeat.pressedReads + repeat.releasedReads : 1
  }

  playFrame(frame: number): PlayedFrame {
    const startNs = frame * this.#frameNs
    const before = this.#replier.resets
    const samples = this.title.readOffsetsNs.flatMap((offsetNs, read) =>
      this.#playRead(startNs + offsetNs + middleJitterNs(this.title)).map((sample) => ({
        ...sample,
        atNs: sample.atNs - startNs,
        read,
      })),
    )
    this.#advance(startNs + this.#frameNs - 1)
    return { samples, resets: this.#replier.resets - before }
  }

  /** What the future hangs on, seen from the start of a frame: what the pins show, and what is on its way to them. */
  stateAt(frame: number): string {
    const startNs = frame * this.#frameNs
    const { chart } = this.profile
    const { pins } = this.#engine
    const { shown, resetsSincePress } = this.#replier
    const since = (atNs: number | null) => atNs !== null && atNs - startNs
    this.#edges = this.#edges.filter(({ atNs }) => atNs + this.corner.replyNs >= startNs)
    const resetNs = (this.#lastRiseNs ?? -Infinity) + this.corner.idleResetNs + this.corner.replyNs
    return JSON.stringify([
      pins !== null && shown !== null && [rowAt(chart, shown.rises), shown.level],
      resetNs >= startNs && since(this.#lastRiseNs),
      since(this.#risesAtNs),
      this.#edges.map((edge) => [since(edge.atNs), edge.level]),
      resetsSincePress < 0 ? resetsSincePress : resetsSincePress % this.#repeatResets,
    ])
  }

  /** Samples with times since power-on. */
  #playRead(readStartNs: number): Omit<InputSample, 'read'>[] {
    const { title, input } = this
    const seen: { index: number; atNs: number; pressed: boolean }[] = []
    let six = title.sixButtons.kind === 'assumed'
    for (const { afterNs, does } of this.#steps) {
      const atNs = readStartNs + afterNs
      if (does.kind === 'write') {
        this.#write(atNs, does.level)
        continue
      }
      this.#advance(atNs)
      const isLow = (pin: Pin): boolean =>
        this.#engine.pins !== null && pinLevel(this.#engine.pins, pin) === 'low'
      if (does.kind === 'identify') six = does.lowPins.every(isLow)
      else {
        const pins = pinsTakenFor(title, does.index, input)
        if (pins.length > 0) seen.push({ index: does.index, atNs, pressed: pins.some(isLow) })
      }
    }
    return seen.filter(({ index }) => six || title.samples[index]?.when === 'always')
  }

  #write(atNs: number, level: Level): void {
    if (level === 'high') {
      this.#risesAtNs = atNs + this.corner.riseNs
      return
    }
    // A fall at the very instant at which the line would have passed the threshold comes first.
    this.#advance(atNs - 1)
    this.#risesAtNs = null
    this.#edge(atNs, 'low')
  }

  /** Lets time pass, up to and including `toNs`. */
  #advance(toNs: number): void {
    if (this.#risesAtNs !== null && this.#risesAtNs <= toNs) {
      const atNs = this.#risesAtNs
      this.#risesAtNs = null
      this.#edge(atNs, 'high')
    }
    this.#engine.advance(toNs)
  }

  #edge(atNs: number, level: Level): void {
    if (this.#engine.level === level) return
    this.#engine.select(atNs, level)
    this.#edges.push({ atNs, level })
    if (level === 'high') this.#lastRiseNs = atNs
  }
}

/** How much later than its place a played read begins. */
export const middleJitterNs = ({ readJitterNs }: Title): number => Math.floor(readJitterNs / 2)

/** What a title does in a read, in order of time. */
interface Step {
  /** Since the read began, in ns. */
  readonly afterNs: number
  readonly does:
    | { readonly kind: 'write'; readonly level: Level }
    | { readonly kind: 'identify'; readonly lowPins: readonly Pin[] }
    | { readonly kind: 'sample'; readonly index: number }
}

function stepsOfRead(title: Title, corner: Corner): Step[] {
  const { rest, cyclesPerRead, samples, sixButtons } = title
  const edgeNs = (phase: number) => phase * corner.edgeSpacingNs
  const sampleNs = ({ cycle, level }: { readonly cycle: number; readonly level: Level }) =>
    edgeNs(2 * (cycle - 1) + (level === 'low' ? 1 : 0)) + corner.sampleAfterEdgeNs
  // From rest high the first phase needs no edge, and a rise at the end brings it back.
  const first = rest === 'high' ? 1 : 0
  const steps: Step[] = []
  for (let phase = first; phase < 2 * cyclesPerRead + first; phase++)
    steps.push({
      afterNs: edgeNs(phase),
      does: { kind: 'write', level: phase % 2 === 0 ? 'high' : 'low' },
    })
  if (sixButtons.kind === 'identified')
    steps.push({ afterNs: sampleNs(sixButtons), does: { kind: 'identify', lowPins: sixButtons.lowPins } })
  samples.forEach((sample, k) => {
    steps.push({ afterNs: sampleNs(sample), does: { kind: 'sample', index: k } })
  })
  return steps.sort((p, q) => p.afterNs - q.afterNs)
}

/** The pins that a sample takes for an input. */
function pinsTakenFor(title: Title, sample: number, input: Input): Pin[] {
  const pins = title.samples[sample]?.pins ?? {}
  return PINS.filter((pin) => pins[pin] === input)
}
