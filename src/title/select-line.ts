import type { ChangeSink } from './vcd/capture.ts'
import { samplingStepNs } from './sampling-step.ts'
import { VCD_VALUES } from './vcd/capture.ts'

export const LOW = VCD_VALUES.indexOf('0')
export const HIGH = VCD_VALUES.indexOf('1')
export const UNKNOWN = VCD_VALUES.indexOf('x')
const UNDRIVEN = VCD_VALUES.indexOf('z')

/** How often something came, and when first. */
export interface Noted {
  readonly count: number
  /** On the capture's own clock; 0 where it never came. */
  readonly firstNs: number
}

/**
 * A select line as all that reads a captured one takes it: no pulse is shorter than a glitch, neighbours differ. Each glitch has a
 * rise of its own, which a pad can count or miss: nothing here decides that, so whoever shows what comes of a line tells of them.
 */
export interface SelectLine {
  /** When each level began; the first entry is what the capture begins with. */
  readonly timesNs: Float64Array
  /** {@link LOW}, {@link HIGH} or {@link UNKNOWN}. */
  readonly levels: Uint8Array
  readonly startNs: number
  readonly endNs: number
  /** Time between two samples, where the line was sampled, by what the file or its edges say: its edges are known no better. */
  readonly sampledNs: number | null
  readonly glitches: Noted
  /** When each of the first glitches began and ended, one after the other; as long as all of them are there. */
  readonly pulsesNs: Float64Array
  /** Stretches at an unknown level, those at the very start left out: nobody has driven the line yet. */
  readonly unknown: Noted
  /** Stretches in which nothing drove the line; a pull-up makes them high. */
  readonly undriven: Noted
  /** Whether there were more edges than are kept: the line ends where they did. */
  readonly full: boolean
}

/** What a capture says of a line beside its changes. */
export interface LineSpan {
  readonly startNs: number
  readonly endNs: number
  /** Where the line was sampled. */
  readonly samplerateHz?: number
}

/** Most glitches whose times are kept. */
const MAX_PULSES = 2 ** 14

/** A pulse shorter than this, in ns, is a glitch: no title has edges closer together (the least that a title file can say). */
export const GLITCH_NS = 100

/** Most edges that are kept, in 150 MB; a select line needs hours for as many. */
const MAX_EDGES = 2 ** 24

const FIRST_ROOM = 4096

class Counter implements Noted {
  count = 0
  firstNs = 0

  note(atNs: number): void {
    if (this.count++ === 0) this.firstNs = atNs
  }
}

/** Takes glitches out of a line while it is read, so that they take no memory however many there are. */
export class LineCleaner {
  #timesNs = new Float64Array(FIRST_ROOM)
  #levels = new Uint8Array(FIRST_ROOM)
  #count = 0
  #full = false
  readonly #glitches = new Counter()
  readonly #pulsesNs: number[] = []
  readonly #unknown = new Counter()
  readonly #undriven = new Counter()
  readonly #glitchNs: number
  readonly #maxEdges: number

  constructor({ glitchNs = GLITCH_NS, maxEdges = MAX_EDGES } = {}) {
    this.#glitchNs = glitchNs
    this.#maxEdges = maxEdges
  }

  /** Takes a block of changes, in order of time. */
  readonly push: ChangeSink = (timesNs, values) => {
    for (let k = 0; k < timesNs.length; k++) this.#change(timesNs[k] ?? 0, values[k] ?? UNKNOWN)
  }

  finish({ startNs, endNs, samplerateHz }: LineSpan): SelectLine {
    const timesNs = this.#timesNs.slice(0, this.#count)
    return {
      timesNs,
      levels: this.#levels.slice(0, this.#count),
      startNs,
      endNs: this.#full ? (timesNs[this.#count - 1] ?? endNs) : endNs,
      sampledNs: samplerateHz === undefined ? samplingStepNs(timesNs) : 1e9 / samplerateHz,
      glitches: noted(this.#glitches),
      pulsesNs: Float64Array.from(this.#pulsesNs),
      unknown: noted(this.#unknown),
      undriven: noted(this.#undriven),
      full: this.#full,
    }
  }

  #change(atNs: number, value: number): void {
    if (value === UNDRIVEN) this.#undriven.note(atNs)
    if (value === UNKNOWN && this.#count > 0) this.#unknown.note(atNs)
    const level = value === UNDRIVEN ? HIGH : value
    const last = this.#count - 1
    if (last >= 0 && atNs - (this.#timesNs[last] ?? 0) < this.#glitchNs) {
      // The level before was a glitch; what came before the glitch goes on. Nothing comes before the first level.
      if (last > 0 && this.#levels[last] !== UNKNOWN) this.#noteGlitch(this.#timesNs[last] ?? 0, atNs)
      this.#count = last
    }
    if (this.#count > 0 && this.#levels[this.#count - 1] === level) return
    if (this.#count > this.#maxEdges) this.#full = true
    else this.#keep(atNs, level)
  }

  #noteGlitch(fromNs: number, toNs: number): void {
    this.#glitches.note(fromNs)
    if (this.#pulsesNs.length < 2 * MAX_PULSES) this.#pulsesNs.push(fromNs, toNs)
  }

  #keep(atNs: number, level: number): void {
    if (this.#count === this.#timesNs.length) {
      const timesNs = new Float64Array(2 * this.#count)
      timesNs.set(this.#timesNs)
      this.#timesNs = timesNs
      const levels = new Uint8Array(2 * this.#count)
      levels.set(this.#levels)
      this.#levels = levels
    }
    this.#timesNs[this.#count] = atNs
    this.#levels[this.#count] = level
    this.#count++
  }
}

const noted = ({ count, firstNs }: Noted): Noted => ({ count, firstNs })
