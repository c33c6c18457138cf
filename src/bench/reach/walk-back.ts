import { firstWay } from '../../title/schedule.ts'
import type { Way } from '../../title/schedule.ts'
import type { Zone } from '../zone.ts'
import { NONE } from './counting.ts'
import type { Terrain } from './explore.ts'
import type { SampledReply } from './meets.ts'
import { countedAfter } from './pairs.ts'
import { EDGE, PLACE } from './state.ts'
import type { ReachState, Step } from './state.ts'
import type { Arrival } from './steps.ts'

/** One node of a timing that leads to a sample. All times count from the place of the first read, in ns. */
export interface VisitedNode {
  readonly node: number
  readonly placeNs: number
  readonly atNs: number
  /** When the line is up that is released here, if no fall comes first. */
  readonly risesNs: number | null
}

/** What the pad had counted when a sample met it. */
export interface MetCount {
  /** How many nodes were visited before it. */
  readonly visited: number
  /** How many changes came by themselves since the last of them. */
  readonly changes: number
  readonly atNs: number
}

export interface WalkedBack {
  /** Row of the chart that was counted before the first read, and when its idle reset comes. */
  readonly start: { readonly row: number; readonly resetNs: number | null }
  readonly visited: readonly VisitedNode[]
  /** In which frame since power-on it comes to the sample, from 0. */
  readonly frame: number
  /** When the reset comes that a rise brings, by the time of the rise, if no other rise comes first. */
  readonly resetsNs: ReadonlyMap<number, number>
  readonly target: MetCount
  /** What the earlier sample of a pair met, where there is one. */
  readonly first: (MetCount & { readonly pair: number }) | null
}

/** A step taken again: its zone, with the instant at which the earlier sample of a pair met something in it. */
interface Retaken {
  readonly arrival: Arrival
  readonly zone: Zone
  readonly met: number
}

/**
 * One timing that leads to a reply that a sample can meet. Nothing is searched for: from the sample back, the times of each step are
 * any that allow those of the step after it.
 */
export const walkBack = (terrain: Terrain, reply: SampledReply): WalkedBack =>
  new WayBack(terrain).from(reply)

class WayBack {
  /** The latest first. */
  readonly #visited: VisitedNode[] = []
  #frame = 0
  /** Nodes after the one that is walked back from. */
  #after = 0
  /** The earlier sample of the pair: how many nodes were visited after it, and when it met what. */
  #first: {
    readonly pair: number
    readonly after: number
    readonly changes: number
    readonly atNs: number
  } | null = null

  readonly #resets: { readonly riseNs: number; readonly resetNs: number }[] = []

  constructor(private readonly terrain: Terrain) {}

  from(reply: SampledReply): WalkedBack {
    const { steps } = this.terrain
    if (reply.found === null) throw new Error('a reply that is shown was asked with how it is come to')
    const { stood, ways } = reply.found
    const { standing } = stood
    const { state, step, isToCome } = stood.here
    const taken = this.#again(state, step, isToCome)
    const { arrival, zone } = taken
    const way = this.#way(state, step)
    this.#frame = [...ways, ...(way === null ? [] : [way])].reduce((frame, { frames }) => frame + frames, 0)
    const onward = goOn(
      ways,
      zone,
      way === null ? EDGE : arrival.at,
      arrival.place,
      (k) => steps.node(k).phase,
    )
    const sampled = onward[onward.length - 1]?.edge ?? (way === null ? EDGE : arrival.at)
    const met = this.#meetDeep(zone, arrival, standing, sampled, reply)
    // Any timing will do: the earliest, counted from the instant of the state.
    const timeNs = (instant: number): number => zone.least(instant, EDGE)
    for (const { node, place, edge } of onward.toReversed())
      this.#visited.push({ node, placeNs: timeNs(place), atNs: timeNs(edge), risesNs: null })
    this.#draw(arrival, timeNs)
    if (way !== null) this.#visited.push(this.#visit(taken, way.to, zone, timeNs))
    this.#after = ways.length + (way === null ? 0 : 1)
    const target = { after: this.#after, changes: standing, atNs: timeNs(met) }
    if (taken.met !== NONE && step.meets !== null) this.#meet(step.meets, timeNs(taken.met))
    const start = this.#back(state, timeNs)
    const { startNs } = start
    const all = this.#visited.length
    const shifted = (ns: number): number => ns - startNs
    const count = ({ after, changes, atNs }: typeof target): MetCount => ({
      visited: all - after,
      changes,
      atNs: shifted(atNs),
    })
    return {
      start: { row: start.row, resetNs: start.resetNs === null ? null : shifted(start.resetNs) },
      visited: this.#visited.reverse().map(({ node, placeNs, atNs, risesNs }) => ({
        node,
        placeNs: shifted(placeNs),
        atNs: shifted(atNs),
        risesNs: risesNs === null ? null : shifted(risesNs),
      })),
      frame: this.#frame,
      resetsNs: new Map(this.#resets.map(({ riseNs, resetNs }) => [shifted(riseNs), shifted(resetNs)])),
      target: count(target),
      first: this.#first && { ...count(this.#first), pair: this.#first.pair },
    }
  }

  /** From a state whose instants have times back to the place of the first read. */
  #back(
    from: ReachState,
    timeOf: (instant: number) => number,
  ): { readonly startNs: number; readonly row: number; readonly resetNs: number | null } {
    let state = from
    let times = instantsOf(state).map(timeOf)
    for (;;) {
      if (state.origin === null) {
        const resetNs = state.reset === NONE ? null : (times[state.reset] ?? null)
        return { startNs: times[PLACE] as number, row: state.row, resetNs }
      }
      state = partWith(state, times)
      const { state: before, step } = state.origin as NonNullable<ReachState['origin']>
      this.#frame += this.#way(before, step)?.frames ?? 0
      const remembers = state.memory !== null && state.memory.met !== NONE
      const taken = this.#again(before, step, remembers)
      const { arrival, zone } = taken
      const met = step.meets !== null ? taken.met : remembers ? (before.memory?.met ?? NONE) : NONE
      const { instants } = this.terrain.steps.arrived(arrival, zone, state.node, remembers ? met : NONE)
      const atNs = times[EDGE] as number
      instants.forEach((instant, k) => {
        const ns = (times[k] as number) - atNs
        if (!zone.bound(instant, arrival.at, ns) || !zone.bound(arrival.at, instant, -ns))
          throw new Error('a step back allows what came of it')
      })
      const timeNs = (instant: number): number => atNs + zone.least(instant, arrival.at)
      this.#draw(arrival, timeNs)
      this.#visited.push(this.#visit(taken, state.node, zone, timeNs, instants))
      this.#after++
      if (step.meets !== null) this.#meet(step.meets, timeNs(taken.met))
      times = instantsOf(before).map(timeNs)
      state = before
    }
  }

  #meet({ pair, standing }: NonNullable<Step['meets']>, atNs: number): void {
    this.#first = { pair, after: this.#after, changes: standing, atNs }
  }

  #way(state: ReachState, step: Step): Way | null {
    if (step.way === NONE) return null
    const { schedule } = this.terrain.steps
    return state.node === NONE
      ? firstWay(schedule)
      : (this.terrain.steps.node(state.node).next[step.way] as Way)
  }

  /** @param isToCome whether the earlier sample of a pair has met something, and its node is still to come */
  #again(state: ReachState, step: Step, isToCome: boolean): Retaken {
    const { steps, pairs } = this.terrain
    const way = this.#way(state, step)
    const all = way === null ? steps.waiting(state) : steps.along(state, way, step.isStretched)
    const arrival = all[step.passage] as Arrival
    const pair = pairs[step.meets?.pair ?? state.memory?.pair ?? NONE]
    if (pair === undefined) return { arrival, zone: arrival.zone, met: NONE }
    if (step.meets !== null) {
      const meeting = steps.meeting(arrival, arrival.stood[step.meets.standing] as Arrival['stood'][number])
      if (meeting === null) throw new Error('a step can be taken again')
      const { at } = step.meets
      if (at !== 'to-come')
        steps.fix(meeting.zone, meeting.met, at === 'left' ? EDGE : arrival.at, pair.first.sample)
      return { arrival, ...meeting }
    }
    const met = state.memory?.met ?? NONE
    if (met !== NONE && !isToCome) steps.fix(arrival.zone, met, arrival.at, pair.first.sample)
    return { arrival, zone: arrival.zone, met: NONE }
  }

  /** A node as it was visited; where its own write is not in the zone yet, it is added. */
  #visit(
    { arrival }: Retaken,
    node: number,
    zone: Zone,
    timeNs: (instant: number) => number,
    known?: readonly number[],
  ): VisitedNode {
    const { steps } = this.terrain
    const { writes } = steps.node(node)
    const { count } = arrival
    const isDrawn = !count.isHigh && (writes === 'high' || (writes === 'release' && count.rising === NONE))
    const instants = known ?? steps.arrived(arrival, zone, node, NONE).instants
    // What is drawn by the write stands last but for what is remembered: the reset of a driven rise, the rise of a release.
    const keptReset = writes === 'high' ? 2 : count.reset === NONE ? 2 : 3
    const drawn = isDrawn ? timeNs(instants[keptReset] as number) : null
    if (writes === 'high' && drawn !== null) this.#resets.push({ riseNs: timeNs(arrival.at), resetNs: drawn })
    return {
      node,
      placeNs: timeNs(arrival.place),
      atNs: timeNs(arrival.at),
      risesNs: writes === 'release' ? drawn : null,
    }
  }

  /** Notes the reset that a rise by itself brings. */
  #draw({ count, stood }: Arrival, timeNs: (instant: number) => number): void {
    const risen = stood.findIndex(
      ({ code }, k) => k > 0 && (code & 1) === 1 && ((stood[k - 1]?.code ?? 1) & 1) === 0,
    )
    const high = stood[risen]
    if (high === undefined) return
    const reset = risen + 1 < stood.length ? high.until : count.reset
    this.#resets.push({ riseNs: timeNs(high.from), resetNs: timeNs(reset) })
  }

  /** One more instant, at which the sample meets its code, as far from both ends of the reply as it can be. */
  #meetDeep(zone: Zone, arrival: Arrival, standing: number, edge: number, reply: SampledReply): number {
    const { from, until } = arrival.stood[standing] as Arrival['stood'][number]
    const { minNs, maxNs } = countedAfter(reply.sample, this.terrain.steps.times.reply)
    const met = zone.after(edge, minNs, maxNs)
    const bounds = (one: Zone, deepNs: number): boolean =>
      (from === NONE || one.bound(from, met, -deepNs)) && (until === NONE || one.bound(met, until, -deepNs))
    let deepNs = Math.max(0, reply.insideNs)
    while (deepNs > 0 && !bounds(zone.copy(), deepNs)) deepNs = Math.floor(deepNs / 2)
    if (!bounds(zone, deepNs)) throw new Error('a sample can meet what it meets')
    return met
  }
}

/** The instants of the nodes that follow one after another. */
function goOn(
  ways: readonly Way[],
  zone: Zone,
  from: number,
  fromPlace: number,
  phaseOf: (node: number) => number,
): { readonly node: number; readonly place: number; readonly edge: number }[] {
  let [place, edge] = [fromPlace, from]
  return ways.map((way) => {
    if (way.kind === 'place') {
      place = zone.after(place, way.lasts.minNs, way.lasts.maxNs)
      edge = zone.after(place, way.late.minNs, way.late.maxNs)
    } else {
      edge = zone.after(edge, way.lasts.minNs, way.lasts.maxNs)
      if (phaseOf(way.to) === 0) place = edge
    }
    return { node: way.to, place, edge }
  })
}

/** Instants of a state, in the order of its zone. */
const instantsOf = ({ zone }: ReachState): number[] => Array.from({ length: zone.count }, (_, k) => k)

/** The one of those that were united in which the instants can have these times. */
function partWith(state: ReachState, times: readonly number[]): ReachState {
  if (state.parts === null) return state
  const [one, other] = state.parts
  return partWith(hasTimes(one, times) ? one : other, times)
}

const hasTimes = ({ zone }: ReachState, times: readonly number[]): boolean =>
  times.every((later, i) => times.every((earlier, j) => later - earlier <= zone.most(i, j)))
