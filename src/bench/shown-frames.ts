import type { Terrain } from './reach/explore.ts'
import type { SampledReply } from './reach/meets.ts'
import { walkBack } from './reach/walk-back.ts'
import type { Weighed, WrongExample } from './weigh.ts'
import type { WeighedTitle } from './weigh-title.ts'

/** The exploration that misreads come from. */
export const terrainOf = ({ leftOver, exploration }: WeighedTitle): Terrain =>
  (leftOver?.kind === 'stays' ? leftOver.exploration : exploration).reach

/**
 * The same with each misread in the frame in which the timing that is shown for it comes to it. States of several frames are one where their
 * times are, so what a state says of its frame can be that of another timing.
 *
 * @param of all of it, or what is weighed of some of its samples
 */
export function inShownFrames<T extends Pick<WeighedTitle, 'weighed' | 'stays'>>(
  all: WeighedTitle,
  of: T,
): T {
  const { weighed, stays } = of
  const terrain = terrainOf(all)
  const shown = (one: Weighed): Weighed => ({
    ...one,
    wrongs: new Map([...one.wrongs].map(([kind, wrong]) => [kind, inShownFrame(terrain, wrong)])),
  })
  return stays === null ? { ...of, weighed: shown(weighed) } : { ...of, stays: shown(stays) }
}

function inShownFrame(terrain: Terrain, { example, sample }: WrongExample): WrongExample {
  if (!sample?.isExact) return { example, sample }
  const frame = frameOf(terrain, sample) + 1
  return { example: { ...example, place: { ...example.place, frame } }, sample }
}

const FRAMES = new WeakMap<SampledReply, number>()

function frameOf(terrain: Terrain, sample: SampledReply): number {
  const known = FRAMES.get(sample) ?? walkBack(terrain, sample.then ?? sample).frame
  FRAMES.set(sample, known)
  return known
}
