import { frameNs } from '../../port/clocks.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Level } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { ReadPlace, Schedule, ScheduleNode, Way } from '../schedule.ts'
import type { Title } from '../schema.ts'
import { refusedTime } from '../refused-times.ts'
import { clashTexts as t } from '../title-file-texts.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { atLeastNs, atMostNs } from '../tolerance.ts'
import { ClashFound, clash } from './clash.ts'
import type { Clash } from './clash.ts'
import { layOutRead } from './lay-out-read.ts'
import type { LaidRead, ReadQuestion } from './lay-out-read.ts'
import { SamplesOf } from './samples-of.ts'
import type { WrittenRead } from './samples-of.ts'
import { turnsOf } from './turns.ts'
import type { ModeTurns, Turn } from './turns.ts'
import { writeOut } from './write-out.ts'

/** Lays a title out, or says what does not go together in it. */
export function layOutTitle(title: Title): Result<Schedule, Clash> {
  try {
    return ok(new TitleInWork(title).layOut())
  } catch (thrown) {
    if (thrown instanceof ClashFound) return err(thrown.clash)
    throw thrown
  }
}

const AT_ONCE: RangeNs = { minNs: 0, maxNs: 0 }

/** How long a change of mode takes where no frame ties both: no program is sooner, and past it nothing is left of what was before. */
const MODE_CHANGE_NS: RangeNs = { minNs: 1_000, maxNs: 100_000_000 }

class TitleInWork {
  readonly #turns: readonly ModeTurns[]
  readonly #nodes: (Omit<ScheduleNode, 'next'> & { readonly next: Way[] })[] = []
  /** First node of each turn of each mode. */
  readonly #first = new Map<Turn, number>()
  /** Where a frame begins that is come to from a mode that no frame ties, by the turn that follows. */
  readonly #gates = new Map<Turn, number>()
  readonly #laid = new Map<string, LaidRead>()
  #reads = 0
  /** Samples so far. */
  #taken = 0

  constructor(private readonly title: Title) {
    const { modes } = title
    this.#turns = modes.map((mode, k) => turnsOf(title, mode, ['modes', k]))
    const once = modes.findIndex((mode, k) => mode.once && (k > 0 || modes.length === 1))
    if (once !== -1) clash(['modes', once, 'once'], once > 0 ? t.onceIsFirst : t.onceAlone)
  }

  layOut(): Schedule {
    const { title } = this
    const written = this.#writeOut()
    const samples = new SamplesOf(title, [...written.values()], (read) => this.#before(read))
    ;[...written].forEach(([key, read], k) => {
      const { mode, read: number } = read.place
      const laid = layOutRead({
        at: ['modes', mode, 'reads', number],
        steps: read.steps,
        stretch: title.modes[mode]?.reads[number]?.stretch,
        rise: title.rise,
        beliefAt: (step) => beliefAt(title, samples.canBeTold(k, step.index)),
        useOf: (step) => samples.useOf(step),
        isFollowed: this.#isFollowed(mode),
        startLevel: read.startLevel,
      })
      this.#laid.set(key, laid)
    })
    const all = this.#turns.flatMap(({ turns }) => turns)
    for (const turn of all) this.#place(turn)
    for (const turns of this.#turns) this.#join(turns)
    const first = all[0] as Turn
    return {
      idleLevel: title.idle,
      opensLate: first.starts.kind === 'frame' ? rangeOf(first.starts.late) : AT_ONCE,
      nodes: this.#nodes,
      rise: this.#nodes.some(({ writes }) => writes === 'release') && title.rise ? rangeOf(title.rise) : null,
      samples: samples.samples,
      sixButtons: samples.telling,
      readsPerFrame: Math.max(...this.#turns.flatMap(({ turns }) => turns.map(({ inFrame }) => inFrame + 1))),
    }
  }

  /** The reads that can have come before one comes for the last time; `null`: all, as it comes again and again. */
  #before({ mode, read }: ReadPlace): readonly ReadPlace[] | null {
    const { turns } = this.#turns[mode] as ModeTurns
    if (!this.title.modes[mode]?.once) return null
    const last = turns.findLastIndex(({ number }) => number === read)
    return turns.slice(0, last).map((turn) => ({ mode, read: turn.number }))
  }

  /** Whether what can come after a read of a mode counts from its last step. */
  #isFollowed(mode: number): boolean {
    return this.title.modes.some(
      ({ once, reads }, k) => (k === mode || !once) && reads.some(({ starts }) => starts.kind === 'interval'),
    )
  }

  /** Every read of the file once, with the level that select is left at before it. */
  #writeOut(): Map<string, WrittenRead> {
    const { title } = this
    const all = new Map<string, WrittenRead>()
    for (const { mode, turns } of this.#turns) {
      const seen: (Omit<WrittenRead, 'startLevel'> & { key: string; endLevel: Level | null })[] = []
      for (const turn of turns) {
        const key = keyOf(mode, turn.number)
        if (seen.some((one) => one.key === key)) continue
        const read = title.modes[mode]?.reads[turn.number]
        if (read === undefined) continue
        const steps = writeOut(read, ['modes', mode, 'reads', turn.number])
        const last = steps.findLast(({ step }) => 'select' in step)?.step
        const endLevel =
          last === undefined || !('select' in last) ? null : last.select === 'low' ? 'low' : 'high'
        seen.push({ key, place: { mode, read: turn.number }, steps, endLevel })
      }
      let level = seen.findLast(({ endLevel }) => endLevel !== null)?.endLevel ?? title.idle
      for (const { key, place, steps, endLevel } of seen) {
        all.set(key, { place, steps, startLevel: level })
        level = endLevel ?? level
      }
    }
    return all
  }

  /** The nodes of one turn of a read. */
  #place(turn: Turn): void {
    const laid = this.#laid.get(keyOf(turn.mode, turn.number)) as LaidRead
    const first = this.#nodes.length
    this.#taken += laid.nodes.reduce((sum, { samples }) => sum + samples.length, 0)
    if (first + laid.nodes.length + this.#taken > TITLE_LIMITS.nodes)
      clash(['modes', turn.mode, 'reads'], t.tooLong({ most: TITLE_LIMITS.nodes }))
    this.#first.set(turn, first)
    const read = this.#reads++
    const times = this.title.modes[turn.mode]?.reads[turn.number]?.stretch?.times
    const stretches = times === undefined ? {} : { stretches: times }
    laid.nodes.forEach(({ writes, samples, next }, phase) => {
      const ways = next.map((way) => ({ ...way, to: first + way.to }))
      const { mode, inFrame: readOfFrame, offsetNs } = turn
      this.#nodes.push({
        mode,
        read,
        readOfFrame,
        offsetNs,
        phase,
        writes,
        samples,
        next: ways,
        ...stretches,
      })
    })
  }

  /** The ways from each turn of a mode to what can follow it. */
  #join({ mode, turns, frames }: ModeTurns): void {
    const isOnce = this.title.modes[mode]?.once === true
    turns.forEach((turn, k) => {
      const next = turns[(k + 1) % turns.length] as Turn
      const isLast = k === turns.length - 1
      const isLastOfFrame = isLast || next.frame !== turn.frame
      if (!isLast || !isOnce) {
        const passed = isLast ? next.frame + frames - turn.frame : next.frame - turn.frame
        this.#goOn(turn, next, turn.starts.kind === 'frame' ? passed : isLast ? 1 : 0)
      }
      if (!isLastOfFrame) return
      // A mode can give way to another at the end of each frame, in any of the frames that the other counts.
      const empty = isLast && isOnce ? 1 : this.#framesTo(turn, next, frames, isLast)
      for (const other of this.#turns) {
        if (other.mode === mode || this.title.modes[other.mode]?.once) continue
        this.#change(turn, other, empty)
      }
    })
  }

  #framesTo(turn: Turn, next: Turn, frames: number, isLast: boolean): number {
    if (turn.starts.kind !== 'frame') return 1
    return isLast ? next.frame + frames - turn.frame : next.frame - turn.frame
  }

  /** From the end of a frame to every read with which another mode can begin. @param empty frames to the next read of its own mode */
  #change(turn: Turn, other: ModeTurns, empty: number): void {
    const [first] = other.turns
    if (first === undefined) return
    if (first.starts.kind === 'interval') return this.#leave(turn, first, MODE_CHANGE_NS)
    /** Many of its frames lead to the same read after as many frames: that is one way. */
    const known = new Set<string>()
    for (let frame = 0; frame < other.frames; frame++) {
      const at = other.turns.findIndex((one) => one.frame >= frame)
      const [to, wraps] = at === -1 ? [first, other.frames] : [other.turns[at] as Turn, 0]
      const frames = to.frame + wraps - frame
      for (let late = 0; late < empty; late++) {
        const isTied = turn.starts.kind === 'frame'
        const passed = isTied ? frames + 1 + late : 1
        const way = `${other.turns.indexOf(to)} ${passed}`
        if (known.has(way)) continue
        known.add(way)
        if (isTied) this.#goOn(turn, to, passed)
        else this.#leave(turn, to, MODE_CHANGE_NS)
      }
    }
  }

  /** From one turn to another so many frames later. */
  #goOn(turn: Turn, next: Turn, frames: number): void {
    if (next.starts.kind === 'interval') return this.#leave(turn, next, rangeOf(next.starts.after))
    if (turn.starts.kind === 'interval') return
    const { standard, clockPpm } = this.title
    const ns = next.offsetNs - turn.offsetNs + frames * frameNs(standard)
    const lasts = { minNs: atLeastNs(ns, clockPpm), maxNs: atMostNs(ns, clockPpm) }
    const late = rangeOf(next.starts.late)
    this.#checkOver(turn, next, frames, ns, lasts.minNs + late.minNs)
    this.#way(turn, () => ({
      kind: 'place',
      to: this.#first.get(next) as number,
      frames,
      onlyIf: null,
      lasts,
      late,
    }))
  }

  /** From one turn to another that no frame ties to it. */
  #leave(turn: Turn, next: Turn, after: RangeNs): void {
    const to =
      next.starts.kind === 'interval' ? (this.#first.get(next) as number) : this.#gate(next, next.starts)
    this.#way(turn, (stepNs) => ({
      kind: 'gap',
      to,
      frames: 1,
      onlyIf: null,
      lasts: { minNs: after.minNs + stepNs, maxNs: after.maxNs + stepNs },
      stretched: null,
    }))
  }

  /** Where the frame of a turn begins, for those who come from a mode that no frame ties. */
  #gate(next: Turn, starts: Extract<Turn['starts'], { readonly kind: 'frame' }>): number {
    const known = this.#gates.get(next)
    if (known !== undefined) return known
    const gate = this.#nodes.length
    const { clockPpm } = this.title
    const way: Way = {
      kind: 'place',
      to: this.#first.get(next) as number,
      frames: 0,
      onlyIf: null,
      lasts: { minNs: atLeastNs(next.offsetNs, clockPpm), maxNs: atMostNs(next.offsetNs, clockPpm) },
      late: rangeOf(starts.late),
    }
    const read = this.#reads++
    this.#nodes.push({
      mode: next.mode,
      read,
      readOfFrame: 0,
      offsetNs: 0,
      phase: 0,
      writes: null,
      samples: [],
      next: [way],
    })
    this.#gates.set(next, gate)
    return gate
  }

  #way(turn: Turn, way: (stepNs: number) => Way): void {
    const first = this.#first.get(turn) as number
    const laid = this.#laid.get(keyOf(turn.mode, turn.number)) as LaidRead
    for (const { node, stepNs, onlyIf } of laid.exits)
      this.#nodes[first + node]?.next.push({ ...way(stepNs), onlyIf })
  }

  /** A read is over before the next one can begin. */
  #checkOver(turn: Turn, next: Turn, frames: number, ns: number, soonestNs: number): void {
    const laid = this.#laid.get(keyOf(turn.mode, turn.number)) as LaidRead
    if (turn.starts.kind !== 'frame') return
    const lastsNs = turn.starts.late.maxNs + laid.longestNs
    if (lastsNs < soonestNs) return
    const { clockPpm, standard } = this.title
    const endNs = turn.offsetNs + lastsNs
    const ofTurn = ['modes', turn.mode, 'reads', turn.number, 'starts']
    const isByClock = lastsNs < ns
    if (frames === 0) {
      const at = ['modes', next.mode, 'reads', next.number, 'starts', 'offsetsNs', next.occurrence]
      const told = { start: refusedTime(next.offsetNs), end: refusedTime(endNs), ppm: clockPpm }
      clash(at, isByClock ? t.overlapByClock(told) : t.overlap(told))
    }
    const nextNs = frames * frameNs(standard) + next.offsetNs
    const told = { end: refusedTime(endNs), frame: refusedTime(nextNs), ppm: clockPpm }
    clash([...ofTurn, 'offsetsNs', turn.occurrence], isByClock ? t.pastFrameByClock(told) : t.pastFrame(told))
  }
}

const keyOf = (mode: number, number: number): string => `${mode} ${number}`
const rangeOf = ({ minNs, maxNs }: RangeNs): RangeNs => ({ minNs, maxNs })

/** @param canBeTold whether six buttons can have been told by then */
function beliefAt({ sixButtons }: Title, canBeTold: boolean): ReturnType<ReadQuestion['beliefAt']> {
  if (sixButtons.kind === 'assumed') return 'six-buttons'
  return canBeTold ? 'either' : 'three-buttons'
}
