import type { Chart } from '../../src/port/chart.ts'
import { frameNs } from '../../src/port/clocks.ts'
import type { Input } from '../../src/port/pins.ts'
import type { RangeNs } from '../../src/port/range.ts'
import type { Title } from '../../src/title/schema.ts'

/**
 * A title played step by step as READ.md has it, in front of a pad with something held, in one timing. Written from that page alone: nothing of
 * `src/bench`, nothing of the schedule. It does what the title does, believes what the title believes, and tells what it got wrong.
 */

/** What the adapter and its cable add, each from the least to the most. */
export interface PadTimes {
  readonly reply: RangeNs
  readonly idleReset: RangeNs
}

/** Takes one time out of a range, and one of so many. */
export interface Chance {
  readonly draw: (range: RangeNs) => number
  readonly oneOf: (n: number) => number
}

type Level = 'low' | 'high'
type Held = ReadonlySet<Input>
type Read = Title['modes'][number]['reads'][number]
type Step = Read['steps'][number]
type Plain = Exclude<Step, { readonly repeat: number }>

/** One sight of an input in a read. */
interface Sight {
  readonly input: Input
  readonly isPressed: boolean
  readonly waits: boolean
  readonly name: string | undefined
  readonly order: number
  readonly ifAgrees: string | undefined
  readonly atNs: number
}

/** What went wrong first; `null`: nothing. */
export type Mistake = null | {
  readonly kind: 'phantom' | 'missed' | 'belief'
  readonly input: Input
  readonly mode: number
  /** When the sample was taken that is wrong; a belief, when the read ended. */
  readonly atNs: number
}

/** What a played line did, and what its title got wrong. */
export interface PlayedLine {
  /** Changes of select after power-on, in order of time. */
  readonly changes: readonly { readonly atNs: number; readonly level: Level }[]
  readonly mistakes: readonly NonNullable<Mistake>[]
}

/** How a line is played. */
export interface LinePlay {
  /** Where the title's times and modes come from. */
  readonly title: Chance
  /** Where the pad's times come from. */
  readonly pad: Chance
  readonly untilNs: number
  /** A mode that can come again lasts for so many frames or turns, about. */
  readonly modeLasts: number
  /** Pulses on the line so short that the title knows nothing of them: each is a rise that the pad counts. */
  readonly noiseNs?: readonly number[]
}

const PIN_NUMBERS = ['1', '2', '3', '4', '6', '9'] as const

/** What a title has in front of it, asked in the order of time. */
export interface InFront {
  readonly write: (what: 'low' | 'high' | 'release', atNs: number, riseNs: number) => void
  readonly lineAt: (atNs: number) => Level
  readonly isLow: (pin: '1' | '2' | '3' | '4' | '6' | '9', atNs: number) => boolean
}

/** The pad with its line. */
class Pad implements InFront {
  #rises = 0
  #level: Level
  #resetNs = Infinity
  #upNs = Infinity
  #noises = 0
  readonly changes: { readonly atNs: number; readonly level: Level }[] = []
  readonly #shown: { readonly fromNs: number; readonly row: number; readonly level: Level }[]

  constructor(
    private readonly chart: Chart,
    private readonly times: PadTimes,
    private readonly held: Held,
    private readonly chance: Chance,
    idle: Level,
    private readonly noiseNs: readonly number[] = [],
  ) {
    this.#level = idle
    this.#shown = [{ fromNs: -Infinity, row: 0, level: idle }]
  }

  write(what: 'low' | 'high' | 'release', atNs: number, riseNs: number): void {
    if (what === 'low') {
      // A fall at the very instant of a rise by itself comes before it.
      this.#until(atNs - 1)
      this.#upNs = Infinity
      this.#reset(atNs)
      if (this.#level === 'high') {
        this.#turn('low', atNs)
        this.#show(atNs)
      }
      return
    }
    this.#until(atNs)
    if (this.#level === 'high') return
    if (what === 'high') this.#rise(atNs)
    else if (this.#upNs === Infinity) this.#upNs = atNs + riseNs
  }

  lineAt(atNs: number): Level {
    this.#until(atNs)
    return this.#level
  }

  isLow(pin: (typeof PIN_NUMBERS)[number], atNs: number): boolean {
    this.#until(atNs)
    const now = this.#shown.findLast(({ fromNs }) => fromNs <= atNs)
    if (now === undefined) throw new Error('something always stands on the pins')
    const { cycles, after } = this.chart
    const cycle = now.row < cycles.length ? cycles[now.row] : after.kind === 'stay' ? after.reply : undefined
    const cell = (cycle as NonNullable<typeof cycle>)[now.level][Number(pin) as 1]
    return cell === 'low' || (cell !== 'high' && this.held.has(cell))
  }

  #until(toNs: number): void {
    for (;;) {
      const noiseNs = this.noiseNs[this.#noises] ?? Infinity
      if (Math.min(this.#resetNs, this.#upNs, noiseNs) > toNs) return
      if (noiseNs < this.#resetNs && noiseNs < this.#upNs) {
        this.#noises++
        this.#count(noiseNs)
      } else if (this.#resetNs <= this.#upNs) this.#reset(this.#resetNs)
      else {
        const atNs = this.#upNs
        this.#upNs = Infinity
        if (this.#level === 'low') this.#rise(atNs)
      }
    }
  }

  #rise(atNs: number): void {
    this.#upNs = Infinity
    this.#reset(atNs)
    this.#turn('high', atNs)
    this.#count(atNs)
  }

  #turn(level: Level, atNs: number): void {
    this.#level = level
    this.changes.push({ atNs, level })
  }

  #count(atNs: number): void {
    const { cycles, after } = this.chart
    const next = this.#rises + 1
    this.#rises = after.kind === 'stay' ? Math.min(next, cycles.length) : next % cycles.length
    this.#resetNs = atNs + this.chance.draw(this.times.idleReset)
    this.#show(atNs)
  }

  #reset(byNs: number): void {
    if (this.#resetNs > byNs) return
    const atNs = this.#resetNs
    this.#resetNs = Infinity
    this.#rises = 0
    this.#show(atNs)
  }

  #show(atNs: number): void {
    const before = this.#shown.at(-1)?.fromNs ?? -Infinity
    const fromNs = Math.max(before, atNs + this.chance.draw(this.times.reply))
    this.#shown.push({ fromNs, row: this.#rises, level: this.#level })
    if (this.#shown.length > 64) this.#shown.shift()
  }
}

/** Plays so many reads from power-on. */
export function playSteps(
  title: Title,
  chart: Chart,
  times: PadTimes,
  held: Held,
  chance: Chance,
  reads: number,
): Mistake {
  return new Play(title, new Pad(chart, times, held, chance, title.idle), held, chance).run(reads)
}

/** What a title takes for pressed in one of its reads. */
export interface SeenRead {
  readonly mode: number
  readonly pressed: readonly Input[]
}

/** Plays so many reads from power-on, whatever goes wrong, and tells what the title takes for pressed in each. */
export function playSeen(title: Title, inFront: InFront, chance: Chance, reads: number): readonly SeenRead[] {
  const play = new Play(title, inFront, new Set(), chance)
  play.runAll(reads)
  return play.seen
}

/** The pad that a chart describes, for {@link playSeen}. */
export const padOf = (title: Title, chart: Chart, times: PadTimes, held: Held, chance: Chance): InFront =>
  new Pad(chart, times, held, chance, title.idle)

/** Plays from power-on up to some time, on through all that goes wrong. */
export function playLine(
  title: Title,
  chart: Chart,
  times: PadTimes,
  held: Held,
  { title: chance, pad: padChance, untilNs, modeLasts, noiseNs }: LinePlay,
): PlayedLine {
  const pad = new Pad(chart, times, held, padChance, title.idle, noiseNs)
  const mistakes = new Play(title, pad, held, chance, modeLasts).runUntil(untilNs)
  return { changes: pad.changes, mistakes }
}

class Play {
  /** By condition, what its sample told last. */
  #told: (boolean | undefined)[] = []
  #mode = 0
  /** Reads so far. */
  #count = 0
  /** When the last step came. */
  #stepNs = 0
  /** The place of the last read, with where it stands by the clock of the standard. */
  #place: { readonly ns: number; readonly nominalNs: number } | null = null
  /** When the next read begins that no frame ties, where the mode has just changed. */
  #startsNs: number | null = null
  #isFirst = true
  readonly #before = new Map<string, readonly Sight[]>()
  readonly #beliefs = new Set<boolean>()
  readonly #extras: ReadonlySet<Input>
  readonly seen: SeenRead[] = []

  constructor(
    private readonly title: Title,
    private readonly pad: InFront,
    private readonly held: Held,
    private readonly chance: Chance,
    private readonly modeLasts = 3,
  ) {
    const of = (waits: boolean): Input[] =>
      title.modes
        .flatMap((mode) => mode.reads.flatMap((read) => written(read.steps)))
        .flatMap((step) => ('sample' in step && (step.when === 'six-buttons') === waits ? [step.sample] : []))
        .flatMap((sample) =>
          PIN_NUMBERS.flatMap((pin) => {
            const taken = sample[Number(pin) as 1]
            return taken === undefined ? [] : [typeof taken === 'string' ? taken : taken.input]
          }),
        )
    const always = new Set(of(false))
    this.#extras = new Set(of(true).filter((input) => !always.has(input)))
  }

  run(reads: number): Mistake {
    for (const mistake of this.#reads(() => this.#count < reads)) if (mistake !== null) return mistake
    return null
  }

  runAll(reads: number): void {
    for (const _ of this.#reads(() => this.#count < reads));
  }

  runUntil(ns: number): NonNullable<Mistake>[] {
    return [...this.#reads(() => this.#stepNs < ns)].filter((mistake) => mistake !== null)
  }

  /** What goes wrong in each read, for as long as there are to be more. */
  *#reads(goesOn: () => boolean): Generator<Mistake> {
    let frame = 0
    let hasRead = false
    while (goesOn()) {
      const mode = this.title.modes[this.#mode]
      if (mode === undefined) throw new Error('a title is in one of its modes')
      const inFrame =
        mode.reads[0]?.starts.kind === 'interval'
          ? mode.reads.map((read) => ({ read, offsetNs: 0 }))
          : due(mode.reads, frame)
      for (const { read, offsetNs } of inFrame) {
        this.#count++
        const mistake = this.#read(read, this.#start(read, frame, offsetNs))
        this.#isFirst = false
        yield mistake
      }
      hasRead ||= inFrame.length > 0
      const ends = hasRead && this.#endsAfter(mode, frame)
      frame++
      if (!ends) continue
      frame = this.#change(mode, frame)
      hasRead = false
    }
  }

  /** Whether a mode that has read ends with this frame: the one that comes once does so with its last read at the latest. */
  #endsAfter(mode: Title['modes'][number], frame: number): boolean {
    if (this.title.modes.length === 1) return false
    if (!mode.once) return this.chance.oneOf(this.modeLasts) === 0
    return frame >= lastFrameOf(mode.reads) || this.chance.oneOf(ONCE_LASTS) === 0
  }

  /** Another mode, which may stand anywhere in the frames that it counts. */
  #change(from: Title['modes'][number], frame: number): number {
    const { modes } = this.title
    const others = modes.flatMap((mode, k) => (mode === from || mode.once ? [] : [k]))
    if (others.length === 0) return frame
    const next = others[this.chance.oneOf(others.length)] as number
    const isFree = (mode: number): boolean => modes[mode]?.reads[0]?.starts.kind === 'interval'
    const wasFree = isFree(this.#mode)
    this.#mode = next
    if (isFree(next)) {
      this.#startsNs = this.#stepNs + this.chance.draw(CHANGE)
      return frame
    }
    const shift = this.chance.oneOf(64)
    // Frames count on, or are counted from anywhere where none tied the title before.
    if (!wasFree && this.#place)
      this.#place = { ...this.#place, nominalNs: this.#place.nominalNs + shift * this.#frameNs }
    if (wasFree)
      this.#place = {
        ns: this.#stepNs + this.chance.draw(CHANGE),
        nominalNs: (frame + shift) * this.#frameNs,
      }
    return frame + shift
  }

  get #frameNs(): number {
    return frameNs(this.title.standard)
  }

  #start(read: Read, frame: number, offsetNs: number): number {
    const { starts } = read
    const { chance } = this
    if (starts.kind === 'interval') {
      const ns = this.#startsNs ?? this.#stepNs + chance.draw(starts.after)
      this.#startsNs = null
      return this.#isFirst ? 0 : ns
    }
    const nominalNs = frame * this.#frameNs + offsetNs
    const place = this.#place ?? { ns: 0, nominalNs }
    const ns = nominalNs - place.nominalNs
    const off = (ns * this.title.clockPpm) / 1e6
    const placeNs = place.ns + chance.draw({ minNs: Math.floor(ns - off), maxNs: Math.ceil(ns + off) })
    this.#place = { ns: placeNs, nominalNs }
    return placeNs + chance.draw(starts.late)
  }

  #read(read: Read, startNs: number): Mistake {
    const { title, chance, pad } = this
    if (title.sixButtons.kind === 'told' && title.sixButtons.holds === 'read') this.#told = []
    let edgeNs = startNs
    let stretches = read.stretch?.times ?? 0
    const sights: Sight[] = []
    this.#stepNs = startNs
    written(read.steps).forEach((step, order) => {
      if ('select' in step && step.when !== 'always' && (step.when === 'six-buttons') !== this.#believes)
        return
      let atNs = (step.since === 'edge' ? edgeNs : this.#stepNs) + chance.draw(step.after)
      if (read.stretch && stretches > 0 && step.after.maxNs > 0 && chance.oneOf(2) === 0) {
        stretches--
        atNs += chance.draw({ minNs: 0, maxNs: read.stretch.byNs })
      }
      if ('select' in step) {
        const riseNs = step.select === 'release' && title.rise ? chance.draw(title.rise) : 0
        pad.write(step.select, atNs, riseNs)
        this.#stepNs = edgeNs = atNs + (step.waits ? riseNs : 0)
        if (step.waits) pad.lineAt(this.#stepNs)
        return
      }
      this.#stepNs = atNs
      sights.push(...this.#sample(step, atNs, order))
    })
    const believes = this.#believes
    const mistake = this.#mistake(sights, believes)
    const pressed = sights
      .filter((one) => one.isPressed && (!one.waits || believes))
      .filter((one) => one.ifAgrees === undefined || this.#agrees(one, sights))
      .map(({ input }) => input)
    this.seen.push({ mode: this.#mode, pressed })
    this.#remember(sights)
    if (mistake !== null) return mistake
    const asks =
      title.sixButtons.kind === 'told' && (title.sixButtons.holds === 'onwards' || this.#told.length > 0)
    if (asks) this.#beliefs.add(believes)
    const lost = this.#beliefs.size > 1 ? [...this.#extras].find((input) => this.held.has(input)) : undefined
    return lost === undefined ? null : { kind: 'belief', input: lost, mode: this.#mode, atNs: this.#stepNs }
  }

  #sample(step: Extract<Plain, { readonly sample: unknown }>, atNs: number, order: number): Sight[] {
    const { sixButtons } = this.title
    const low = new Set(PIN_NUMBERS.filter((pin) => this.pad.isLow(pin, atNs)))
    if (sixButtons.kind === 'told')
      sixButtons.by.forEach((condition, k) => {
        if (condition.sample !== step.name) return
        this.#told[k] =
          condition.low.every((pin) => low.has(String(pin) as '1')) &&
          condition.high.every((pin) => !low.has(String(pin) as '1'))
      })
    const common = { waits: step.when === 'six-buttons', name: step.name, order, atNs }
    const sights = PIN_NUMBERS.flatMap((pin): Sight[] => {
      const taken = step.sample[Number(pin) as 1]
      if (taken === undefined) return []
      const isPressed = low.has(pin)
      return typeof taken === 'string'
        ? [{ ...common, input: taken, isPressed, ifAgrees: undefined }]
        : [{ ...common, input: taken.input, isPressed, ifAgrees: taken.ifAgrees }]
    })
    const mixed = step.sample.select
    // Select that is mixed in can press an input and never let it go.
    if (mixed !== undefined && this.pad.lineAt(atNs) === 'low')
      sights.push({ ...common, input: mixed, isPressed: true, ifAgrees: undefined })
    return sights
  }

  get #believes(): boolean {
    const { sixButtons } = this.title
    if (sixButtons.kind !== 'told') return sixButtons.kind === 'assumed'
    return sixButtons.by.every((_, k) => this.#told[k] === true)
  }

  #mistake(sights: readonly Sight[], believes: boolean): Mistake {
    for (const sight of sights) {
      if (sight.waits && !believes) continue
      if (sight.isPressed === this.held.has(sight.input)) continue
      if (sight.ifAgrees !== undefined && !this.#agrees(sight, sights)) continue
      return {
        kind: sight.isPressed ? 'phantom' : 'missed',
        input: sight.input,
        mode: this.#mode,
        atNs: sight.atNs,
      }
    }
    return null
  }

  /** Whether its partner shows the same; in another read the last one, and none where there was none yet. */
  #agrees(sight: Sight, sights: readonly Sight[]): boolean {
    const name = sight.ifAgrees as string
    const here = sight.name === name ? [] : sights.filter((one) => one.name === name)
    const partners = here.length > 0 ? here : (this.#before.get(name) ?? [])
    return partners.some((one) => one.input === sight.input && one.isPressed === sight.isPressed)
  }

  #remember(sights: readonly Sight[]): void {
    for (const { name } of sights)
      if (name !== undefined)
        this.#before.set(
          name,
          sights.filter((one) => one.name === name),
        )
  }
}

const CHANGE: RangeNs = { minNs: 1_000, maxNs: 100_000_000 }

/** The mode that comes once goes on after half of the frames after which it can end. */
const ONCE_LASTS = 2

/** The last frame that a mode reads in before all of its reads come again as they came; 0 where no frame ties them. */
function lastFrameOf(reads: readonly Read[]): number {
  const every = reads.map(({ starts }) => (starts.kind === 'frame' ? starts.everyFrames : 1))
  let frames = 1
  while (every.some((n) => frames % n !== 0)) frames++
  const all = Array.from({ length: frames }, (_, frame) => frame)
  return all.findLast((frame) => due(reads, frame).length > 0) ?? 0
}

function due(reads: readonly Read[], frame: number): { read: Read; offsetNs: number }[] {
  return reads
    .flatMap((read) => {
      const { starts } = read
      if (starts.kind !== 'frame' || frame % starts.everyFrames !== starts.inFrame) return []
      return starts.offsetsNs.map((offsetNs) => ({ read, offsetNs }))
    })
    .sort((p, q) => p.offsetNs - q.offsetNs)
}

const written = (steps: readonly Step[]): Plain[] =>
  steps.flatMap((step) =>
    'repeat' in step ? Array.from({ length: step.repeat }, () => step.steps).flat() : [step],
  )
