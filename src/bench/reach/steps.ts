import type { NodeSample, Schedule, ScheduleNode, Way } from '../../title/schedule.ts'
import type { Box } from '../box.ts'
import type { Zone } from '../zone.ts'
import { NONE, codeOf, passages } from './counting.ts'
import type { Count, Passage, ReplyCode, Standing } from './counting.ts'
import { countedAfter } from './pairs.ts'
import { rowAfter } from './shape.ts'
import type { ChartShape } from './shape.ts'
import { EDGE, PLACE } from './state.ts'
import type { ReachState } from './state.ts'

/** One order of what comes by itself on the way from a state to the next node, before what is written there. */
export class Arrival {
  constructor(
    readonly count: Passage,
    /** The place of the read and the instant of the node that was reached; `NONE` for the instant while the title does nothing. */
    readonly place: number,
    readonly at: number,
  ) {}

  get stood(): readonly Standing[] {
    return this.count.stood
  }

  get zone(): Zone {
    return this.count.zone
  }
}

/** In how many gaps of its read a title can be held up. */
export const mostStretches = (node: ScheduleNode | undefined): number => node?.stretches ?? 1

/** A state on its way, one step at a time: exploring and walking back take the same ones. */
export class Steps {
  constructor(
    readonly schedule: Schedule,
    readonly shape: ChartShape,
    readonly times: Box,
  ) {}

  node(k: number): ScheduleNode {
    return this.schedule.nodes[k] as ScheduleNode
  }

  /** All orders on the way from a state to another node. */
  along(state: ReachState, way: Way, isStretched: boolean): Arrival[] {
    const zone = state.zone.copy()
    const [place, at] = this.#goTo(zone, way, isStretched)
    const falls = this.node(way.to).writes === 'low'
    return this.#passages(state, zone, at, falls, place)
  }

  /** The place of the read and the instant of the node that a way leads to. */
  #goTo(zone: Zone, way: Way, isStretched: boolean): [place: number, at: number] {
    if (way.kind === 'place') {
      const place = zone.after(PLACE, way.lasts.minNs, way.lasts.maxNs)
      return [place, zone.after(place, way.late.minNs, way.late.maxNs)]
    }
    const { minNs, maxNs } = isStretched && way.stretched ? way.stretched : way.lasts
    const at = zone.after(EDGE, minNs, maxNs)
    // A read that is tied to the one before it is its own place.
    return [this.node(way.to).phase === 0 ? at : PLACE, at]
  }

  /** All orders from a state on while the title does nothing. */
  waiting(state: ReachState): Arrival[] {
    return this.#passages(state, state.zone.copy(), NONE, false, PLACE)
  }

  #passages(state: ReachState, zone: Zone, at: number, falls: boolean, place: number): Arrival[] {
    const { row, rises, isHigh, reset, rising } = state
    // What stands before the first read has always stood.
    const from = state.node === NONE ? NONE : EDGE
    const count = { zone, row, rises, isHigh, reset, rising }
    const found = passages(count, from, at, falls, this.shape, this.times.idleReset)
    return found.map((passage) => new Arrival(passage, place, at))
  }

  /** What the pad counts at a node once its own write has come. */
  own({ count }: Arrival, node: number): ReplyCode {
    const { row, isHigh } = count
    const { writes } = this.node(node)
    if (writes === 'low') return row * 2
    if (writes === 'high' && !isHigh) return rowAfter(this.shape, row) * 2 + 1
    return codeOf(count)
  }

  /**
   * The count at the node, after its own write, with only the instants that what comes can depend on.
   *
   * @param zone the zone of the arrival, or one with more instants; it grows
   * @param met one more instant to keep, or `NONE`
   */
  arrived({ count, at, place }: Arrival, zone: Zone, node: number, met: number): Arrived {
    const { writes } = this.node(node)
    const { idleReset, rise } = this.times
    let { row, rises, isHigh, reset, rising } = count
    if (writes === 'low') {
      isHigh = false
      rising = NONE
    } else if (writes === 'high' && !isHigh) {
      isHigh = true
      row = rowAfter(this.shape, row)
      rises++
      reset = zone.after(at, idleReset.minNs, idleReset.maxNs)
      rising = NONE
    } else if (writes === 'release' && !isHigh && rising === NONE && rise !== null)
      rising = zone.after(at, rise.minNs, rise.maxNs)
    const instants = [this.#needsPlace(node) ? place : at, at]
    if (reset !== NONE) reset = instants.push(reset) - 1
    if (rising !== NONE) rising = instants.push(rising) - 1
    const kept = met === NONE ? NONE : instants.push(met) - 1
    return { row, rises, isHigh, reset, rising, met: kept, zone: zone.of(instants), instants }
  }

  /** A read from which no way leads to a place of the frame can forget its own. */
  #needsPlace(node: number): boolean {
    return this.#placed.has(this.node(node).read)
  }

  get #placed(): ReadonlySet<number> {
    this.#placedReads ??= new Set(
      this.schedule.nodes.flatMap(({ read, next }) =>
        next.some(({ kind }) => kind === 'place') ? [read] : [],
      ),
    )
    return this.#placedReads
  }
  #placedReads: ReadonlySet<number> | null = null

  /** One more instant, at which a sample meets a standing; `null` where there is none. The zone stays as it is. */
  meeting(arrival: Arrival, { from, until }: Standing): { readonly zone: Zone; readonly met: number } | null {
    const zone = arrival.zone.copy()
    // What stood before the first read stood for longer than any sample reaches back; what nothing ends, for longer than any waits.
    const met =
      until === NONE
        ? zone.after(from, 0, FOR_EVER_NS)
        : zone.after(until, from === NONE ? -FOR_EVER_NS : zone.least(from, until), 0)
    if (from !== NONE && until !== NONE && !zone.bound(from, met, 0)) return null
    return { zone, met }
  }

  /** Keeps the times at which a sample of the node at `edge` meets what stood at `met`. @returns whether there are any */
  fix(zone: Zone, met: number, edge: number, sample: NodeSample): boolean {
    const { minNs, maxNs } = countedAfter(sample, this.times.reply)
    return zone.bound(met, edge, maxNs) && zone.bound(edge, met, -minNs)
  }
}

/** A count at a node, the earlier sample's instant, and where all of its instants stood before. */
export interface Arrived extends Count {
  readonly met: number
  readonly instants: readonly number[]
}

/** Longer than any idle reset, reply and wait for a sample. */
export const FOR_EVER_NS = 1_000_000_000
