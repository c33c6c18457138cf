import type { Level } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { CountWalk, CountedRows, capturedReset } from './count-walk.ts'
import type { StatedAdapter } from './judgement.ts'

/** Edges of select as they came, with no reading of what they are for. */
export interface EdgeLine {
  /** Level before the first edge. */
  readonly startLevel: Level
  /** When each edge came, ascending, in ns. Each turns the level. */
  readonly edgesNs: ArrayLike<number>
  /** The shortest that it can be since the last rise before the first edge, in ns; `null`: not known. */
  readonly sinceRiseNs: number | null
  /** Time between two samples, in ns, where the line was sampled: edges can be so much nearer or further apart than they seem. */
  readonly sampledNs?: number
}

/** A phase in which the pad can answer otherwise than in its first cycle. */
export interface LaterReply {
  /** The edge that opens the phase, by its place. */
  readonly edge: number
  readonly atNs: number
  readonly level: Level
  /** Row of the chart that can answer. */
  readonly row: number
}

/** What a title can misread in a line if it takes every phase for that of a first cycle. */
export interface JudgedLine {
  /** The first such phase with nothing counted before the line; `null`: there is none, so no belief about a sample can hurt by count. */
  readonly danger: LaterReply | null
  /**
   * Edges until what was counted before the line makes no difference: each phase that a further edge opens is then answered as in the first
   * cycle, or is in danger with nothing counted, too. With no danger all of them are right. `null`: it makes one up to the end.
   */
  readonly settlesAfterEdges: number | null
}

/**
 * Has a profile answer every phase of a line, over the whole range of its idle reset, and over every count that it may begin with.
 * What is asked of a phase is whether it is answered as in the first cycle; how soon the reply comes is not.
 */
export function judgeLine(
  profile: Pick<Profile, 'chart' | 'idleResetNs'>,
  { startLevel, edgesNs, sinceRiseNs, sampledNs }: EdgeLine,
  adapter: StatedAdapter,
): JudgedLine {
  const rows = new CountedRows(profile.chart)
  const reset = capturedReset(profile, adapter, sampledNs)
  const risenByNs = (edgesNs[0] ?? 0) - (sinceRiseNs ?? 0)
  const fresh = new CountWalk(rows, reset, startLevel, 'nothing', risenByNs)
  const any = new CountWalk(rows, reset, startLevel, 'anything', risenByNs)
  let level = startLevel
  let danger: LaterReply | null = null
  /** Edges up to the one that opens the last phase that only a count from before can spoil. */
  let spoilt = 0
  for (let edge = 0; edge < edgesNs.length; edge++) {
    const atNs = edgesNs[edge] as number
    level = level === 'low' ? 'high' : 'low'
    fresh.turn(atNs)
    any.turn(atNs)
    const row = fresh.later
    if (row !== null) danger ??= { edge, atNs, level, row }
    if (row === null && any.later !== null) spoilt = edge + 1
  }
  return { danger, settlesAfterEdges: spoilt > 0 && spoilt === edgesNs.length ? null : spoilt }
}
