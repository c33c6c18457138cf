import { LIMITS } from '../../profile/schema.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { CabledAdapter } from '../judgement.ts'
import { middlePlayer } from '../play/middle-player.ts'
import { playFrame } from '../play/rounds.ts'

/** Enough for reads that come every few frames. */
const FRAMES = 8
/** What lies nearer together than by this much is not told apart by an idle reset. */
const LEAST_RATIO = 1.5

/**
 * Idle resets to ask with, in ns: each lies well between two times that the title leaves between its rises, so that a reset comes after the one and
 * not after the other, whatever the timing. The ones that lie the furthest from both come first.
 */
export function resetTimes(
  present: Profile,
  title: Title,
  adapter: CabledAdapter,
  modes: readonly number[],
): number[] {
  const apart = new Set(modes.flatMap((mode) => risesApart(present, title, adapter, mode)))
  const sorted = [...apart].sort((p, q) => p - q)
  const between = sorted
    .slice(1)
    .map((ns, k) => ({
      ns: Math.round(Math.sqrt(ns * (sorted[k] as number))),
      ratio: ns / (sorted[k] as number),
    }))
    .filter(
      ({ ns, ratio }) => ratio >= LEAST_RATIO && ns >= LIMITS.minIdleResetNs && ns <= LIMITS.maxIdleResetNs,
    )
    .sort((p, q) => q.ratio - p.ratio)
  return between.length > 0 ? between.map(({ ns }) => ns) : [present.idleResetNs]
}

function risesApart(present: Profile, title: Title, adapter: CabledAdapter, mode: number): number[] {
  const player = middlePlayer(present, title, adapter, mode)
  for (let frame = 0; frame < FRAMES; frame++) playFrame(player)
  const rises = player.changes.filter(({ what }) => what === 'rise').map(({ atNs }) => atNs)
  return rises.slice(1).map((ns, k) => ns - (rises[k] as number))
}
