import { PortEngine } from '../port/engine.ts'
import type { InputMask, PinBits } from '../port/pins.ts'
import { ProfileRunner } from '../profile/run-profile.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { replyRange } from './box.ts'
import type { CabledAdapter, StatedAdapter } from './judgement.ts'
import { middlePlayer } from './play/middle-player.ts'

/** Select as one read of a title moves it, in ns from the start of the read. */
export interface ReadStimulus {
  readonly rest: 'low' | 'high'
  readonly edges: readonly { readonly atNs: number; readonly level: 'low' | 'high' }[]
  readonly endNs: number
}

/** What an analyser saw on the six pins: at the start, and every change, in ns from the start. */
export interface MeasuredPins {
  readonly start: PinBits
  readonly changes: readonly { readonly atNs: number; readonly pins: PinBits }[]
}

/** How a measurement stands to what the profile means. */
export interface Comparison {
  /** Where the pins differ outside of the adapter's stated reply time, in ns; `null`: nowhere. */
  readonly differsAtNs: number | null
  /** From an edge to the last change that it brought; `null` where no edge changed a pin. */
  readonly replyNs: { readonly minNs: number; readonly maxNs: number } | null
}

/** The first read of a title with every time in the middle of its range, on a clock of 8 ns, as an adapter's analyser has it. */
export function readStimulus(profile: Profile, title: Title, adapter: CabledAdapter): ReadStimulus {
  const player = middlePlayer(profile, title, adapter)
  const { nodes } = player.read()
  // No other read follows: a released line has all the time that it takes.
  player.pass(Infinity)
  const [startNs = 0, beforeNs = 0, lastNs = 0] = [nodes[0], nodes.at(-2), nodes.at(-1)].map(
    (one) => one?.atNs,
  )
  const onClock = (ns: number): number => Math.round(ns / 8) * 8
  const edges = player.changes
    .filter(({ what }) => what !== 'reset')
    .map(({ atNs, level }) => ({ atNs: onClock(atNs - startNs), level }))
  const endsNs = Math.max(onClock(lastNs - startNs), edges.at(-1)?.atNs ?? 0)
  return {
    rest: player.before.level,
    edges: withoutGlitches(edges),
    endNs: endsNs + onClock(lastNs - beforeNs),
  }
}

/** Without the two edges of a pulse that is shorter than the clock tells. */
function withoutGlitches(edges: ReadStimulus['edges']): ReadStimulus['edges'] {
  const k = edges.findIndex(({ atNs }, at) => atNs === edges[at + 1]?.atNs)
  return k === -1 ? edges : withoutGlitches([...edges.slice(0, k), ...edges.slice(k + 2)])
}

/** Holds what was measured at the adapter's connector against the profile, for a read that begins at rest with `held` held. */
export function compareMeasured(
  profile: Profile,
  held: InputMask,
  stimulus: ReadStimulus,
  measured: MeasuredPins,
  adapter: StatedAdapter,
): Comparison {
  const runner = new ProfileRunner({ ...profile, delayNs: 0 })
  runner.ask(held)
  const engine = new PortEngine(runner, stimulus.rest)
  for (const { atNs, level } of stimulus.edges) engine.select(atNs, level)
  engine.advance(stimulus.endNs)

  const windowNs = replyRange(profile, adapter).maxNs
  const seenAt = pinsAt(measured.start, measured.changes)
  const meantAt = pinsAt(engine.changes[0]?.pins ?? measured.start, engine.changes as MeasuredPins['changes'])
  const moved = new Set(stimulus.edges.map(({ atNs }) => atNs))
  /** What an idle reset changes comes by itself, and so much later. */
  const resets = engine.changes.slice(1).filter(({ atNs }) => !moved.has(atNs))
  const within = (ns: number, fromNs: number, lengthNs: number) => ns >= fromNs && ns < fromNs + lengthNs
  const unsettled = (ns: number) =>
    stimulus.edges.some(({ atNs }) => within(ns, atNs, windowNs)) ||
    resets.some(({ atNs }) => within(ns, atNs, windowNs + adapter.idleResetNs.maxNs))

  // Between two instants nothing changes, so looking at each of them, and where a window closes, is looking everywhere.
  const instants = [
    0,
    ...measured.changes.map(({ atNs }) => atNs),
    ...engine.changes.map(({ atNs }) => atNs),
    ...stimulus.edges.map(({ atNs }) => atNs + windowNs),
    ...resets.map(({ atNs }) => atNs + windowNs + adapter.idleResetNs.maxNs),
  ]
  const differs = instants
    .filter((ns) => ns < stimulus.endNs && !unsettled(ns) && seenAt(ns) !== meantAt(ns))
    .sort((p, q) => p - q)
  return { differsAtNs: differs[0] ?? null, replyNs: replies(stimulus, measured) }
}

const pinsAt = (start: PinBits, changes: MeasuredPins['changes']) => (ns: number) => {
  let pins = start
  for (const change of changes) {
    if (change.atNs > ns) break
    pins = change.pins
  }
  return pins
}

function replies({ edges, endNs }: ReadStimulus, { changes }: MeasuredPins): Comparison['replyNs'] {
  const times = edges.flatMap(({ atNs }, k) => {
    const untilNs = edges[k + 1]?.atNs ?? endNs
    const last = changes.filter((change) => change.atNs >= atNs && change.atNs < untilNs).pop()
    return last === undefined ? [] : [last.atNs - atNs]
  })
  return times.length === 0 ? null : { minNs: Math.min(...times), maxNs: Math.max(...times) }
}
