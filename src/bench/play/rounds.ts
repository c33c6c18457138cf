import type { ChartShape } from '../reach/shape.ts'
import type { PlayedRead, Player } from './player.ts'

/** Frames from power-on: `lead` of them that do not come again, then `period` that come again for ever. */
export interface Rounds<Frame> {
  readonly lead: number
  readonly period: number
  /** `lead + period` frames. */
  readonly frames: readonly Frame[]
}

/** Frame `k` from 0, however far. */
export const frameOf = <Frame>({ lead, period, frames }: Rounds<Frame>, k: number): Frame =>
  frames[k < lead ? k : lead + ((k - lead) % period)] as Frame

/** The reads of a frame, with all that comes before the next read after it; none in a frame that the title passes over. */
export function playFrame(player: Player, frame = player.next.frame): PlayedRead[] {
  const reads: PlayedRead[] = []
  while (player.next.frame === frame) reads.push(player.read())
  player.pass(player.next.placeNs - 1)
  return reads
}

/**
 * Plays frames until what the future hangs on comes again. A timing that takes the same time for the same thing in every frame makes title
 * and pad a finite machine, so it does.
 *
 * @param see what is kept of a frame
 * @param besides what else the future hangs on
 */
export function playRounds<Frame>(
  player: Player,
  shape: ChartShape,
  see: (reads: readonly PlayedRead[]) => Frame,
  besides: () => number = () => 0,
): Rounds<Frame> {
  const met = new Map<string, number>()
  const frames: Frame[] = []
  for (;;) {
    const state = `${player.stateBeforeNext(shape)} ${player.next.frame - frames.length} ${besides()}`
    const before = met.get(state)
    if (before !== undefined) return { lead: before, period: frames.length - before, frames }
    met.set(state, frames.length)
    frames.push(see(playFrame(player, frames.length)))
  }
}
