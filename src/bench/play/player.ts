import type { CountedBefore } from '../../port/counter.ts'
import type { Level } from '../../port/pins.ts'
import { firstWay } from '../../title/schedule.ts'
import type { NodeSample, Schedule, ScheduleNode, Way } from '../../title/schedule.ts'
import type { ChartShape } from '../reach/shape.ts'
import { rowAt } from '../reach/shape.ts'
import { SelectAtPad } from './select-at-pad.ts'
import type { Change } from './select-at-pad.ts'
import type { Timing } from './timing.ts'

/** What the pins answer to: rising edges since the last idle reset, and the level of select. */
export interface Answer {
  readonly rises: number
  readonly level: Level
}

/** A sample with what stands on the pins at that instant. */
export interface Met extends Answer {
  readonly sample: NodeSample
  readonly atNs: number
  /** Idle resets that have reached the pins since power-on. */
  readonly resets: number
}

/** A node as it was played. All times of a player count from the place of the first read, in ns. */
export interface PlayedNode {
  readonly node: ScheduleNode
  readonly atNs: number
  readonly met: readonly Met[]
}

export interface PlayedRead {
  /** Within the frame, from 0. */
  readonly read: number
  readonly mode: number
  /** Since power-on, from 0. */
  readonly frame: number
  readonly placeNs: number
  /** When its frame began; its place, where no frame ties it. */
  readonly frameNs: number
  /** At least one. */
  readonly nodes: readonly PlayedNode[]
}

/** A change that the pad has counted, with when the pins show it. */
export interface ShownChange extends Change {
  readonly shownNs: number
}

interface Due {
  readonly node: ScheduleNode
  readonly frame: number
  readonly placeNs: number
  readonly atNs: number
}

/** What decides between the ways that lead on from a node. */
export interface Course {
  /** The mode to come to as soon as it can be, and to stay in. */
  readonly mode: number
  /** What the title believes, where its ways hang on that. */
  readonly belief: 'six-buttons' | 'three-buttons'
}

/** A title in front of a pad in one timing, read by read from power-on. */
export class Player {
  readonly #changes: ShownChange[] = []
  readonly #pad: SelectAtPad
  #due: Due
  /** Number of the read that is due or being played, since power-on. */
  #reads = 0
  /** How many of the changes the pins show. */
  #shown = 0
  #resets = 0
  #lastShownNs = -Infinity
  /** What the pins answer to before any change. */
  readonly before: Answer

  constructor(
    private readonly schedule: Schedule,
    private readonly timing: Timing,
    before: CountedBefore = { rises: 0, resetNs: null },
    private readonly course: Course = { mode: 0, belief: 'three-buttons' },
  ) {
    const { idleLevel, rise } = schedule
    this.before = { rises: before.rises, level: idleLevel }
    const times = {
      idleResetNs: timing.idleResetNs,
      riseNs: () => (rise === null ? 0 : timing.riseNs(rise)),
    }
    this.#pad = new SelectAtPad(idleLevel, times, (change) => this.#show(change), before)
    const node = schedule.nodes[0] as ScheduleNode
    this.#due = { node, frame: 0, placeNs: 0, atNs: timing.lateNs(firstWay(schedule).late, 0) }
  }

  /** All that the pad has counted, in order. */
  get changes(): readonly ShownChange[] {
    return this.#changes
  }

  /** Idle resets that have reached the pins. */
  get resets(): number {
    return this.#resets
  }

  /** The read to come: its frame, and its place. */
  get next(): Pick<Due, 'frame' | 'placeNs'> {
    return this.#due
  }

  /** Plays the next read to its last sample. */
  read(): PlayedRead {
    const { frame, placeNs, node } = this.#due
    const nodes: PlayedNode[] = []
    do nodes.push(this.#play())
    while (this.#due.node.phase !== 0)
    const { readOfFrame: read, mode, offsetNs } = node
    return { read, mode, frame, placeNs, frameNs: placeNs - offsetNs, nodes }
  }

  /** Lets time pass, up to and including `toNs`. */
  pass(toNs: number): void {
    this.#pad.pass(toNs)
    for (;;) {
      const next = this.#changes[this.#shown]
      if (next === undefined || next.shownNs > toNs) return
      if (next.what === 'reset') this.#resets++
      this.#shown++
    }
  }

  /** All that what comes hangs on, seen from the place of the next read: the same again leads to the same again. */
  stateBeforeNext(shape: ChartShape): string {
    const { placeNs } = this.#due
    this.pass(placeNs - 1)
    const answer = ({ rises, level }: Answer) => [rowAt(shape, rises), level]
    const since = (ns: number | null) => ns !== null && ns - placeNs
    const onTheirWay = this.#changes.slice(this.#shown)
    return JSON.stringify([
      this.schedule.nodes.indexOf(this.#due.node),
      answer(this.#pad),
      since(this.#pad.resetsNs),
      since(this.#pad.risesNs),
      answer(this.#stands),
      onTheirWay.map((change) => [change.what, since(change.shownNs), answer(change)]),
    ])
  }

  get #stands(): Answer {
    return this.#changes[this.#shown - 1] ?? this.before
  }

  #play(): PlayedNode {
    const due = this.#due
    const { node, atNs } = due
    this.#pad.write(node.writes, atNs)
    const met = node.samples.map((sample) => this.#meet(sample, atNs + this.timing.sampleNs(sample.after)))
    this.#due = this.#goTo(this.#wayFrom(node), due)
    return { node, atNs, met }
  }

  #meet(sample: NodeSample, atNs: number): Met {
    this.pass(atNs)
    const { rises, level } = sample.isReadBack ? this.#pad : this.#stands
    return { sample, atNs, rises, level, resets: this.#resets }
  }

  /** The first of the ways that can be taken; to the mode that is asked for, where one leads there. */
  #wayFrom({ next }: ScheduleNode): Way {
    const { mode, belief } = this.course
    const open = next.filter(({ onlyIf }) => onlyIf === null || onlyIf === belief)
    const there = open.find(({ to }) => this.schedule.nodes[to]?.mode === mode)
    return there ?? (open[0] as Way)
  }

  #goTo(way: Way, from: Due): Due {
    const { timing } = this
    const node = this.schedule.nodes[way.to] as ScheduleNode
    const frame = from.frame + way.frames
    if (node.phase === 0) this.#reads++
    if (way.kind === 'place') {
      const placeNs = from.placeNs + timing.toPlaceNs(way.lasts)
      return { node, frame, placeNs, atNs: placeNs + timing.lateNs(way.late, this.#reads) }
    }
    const atNs = from.atNs + timing.gapNs(way.lasts)
    // A read that is tied to the one before it is its own place.
    return { node, frame, placeNs: node.phase === 0 ? atNs : from.placeNs, atNs }
  }

  /** Field by field: copying all of a change at once takes longer than all else. */
  #show({ what, atNs, writtenNs, rises, level, resetsNs }: Change): void {
    const shownNs = Math.max(this.#lastShownNs, atNs + this.timing.replyNs())
    this.#lastShownNs = shownNs
    this.#changes.push({ what, atNs, writtenNs, rises, level, resetsNs, shownNs })
  }
}
