import { describe, expect, it } from 'vitest'
import { readTitle } from '../../src/title/file.ts'
import { scheduleOf } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import { title } from '../bench/steps-titles.ts'

const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })

const modes = (count: number, everyFrames: number): Title => {
  const one = title('One mode', [
    {
      starts: { kind: 'frame', offsetsNs: [250_000], everyFrames, inFrame: 0, late: exactly(0) },
      steps: [
        { select: 'low', after: exactly(0) },
        { sample: { 1: 'up' }, after: exactly(1_500) },
        { select: 'high', after: exactly(1_500) },
      ],
    },
  ])
  const all = { ...one, modes: Array.from({ length: count }, (_, k) => ({ ...one.modes[0], name: `${k}` })) }
  const read = readTitle(new TextEncoder().encode(JSON.stringify(all)))
  if (!read.ok) throw new Error(read.error.message)
  return read.value
}

const waysOf = (one: Title) => scheduleOf(one).nodes.flatMap(({ next }) => next)

describe('the ways from one mode to another', () => {
  it('are one for each read and number of frames, however many frames both count', () => {
    // Every 64th frame each: from 1 to 127 frames later, to the one read of each of seven others.
    const ways = waysOf(modes(8, 64)).filter(({ kind, frames }) => kind === 'place' && frames > 0)
    expect(ways).toHaveLength(8 * (7 * 127 + 1))
    for (const { next } of scheduleOf(modes(8, 64)).nodes)
      expect(new Set(next.map(({ to, frames }) => `${to} ${frames}`)).size).toBe(next.length)
  })

  it('leave none out: a mode can begin in any frame of its own, at any end of a frame of the other', () => {
    const frames = waysOf(modes(2, 3)).flatMap((way) =>
      way.kind === 'place' && way.frames > 0 ? [way.frames] : [],
    )
    // Its own read comes every third frame; the other's 1 to 3 frames after the end of one, and that after 0 to 2 empty ones.
    expect(frames.sort()).toEqual([1, 1, 2, 2, 3, 3, 3, 3, 4, 4, 5, 5])
  })
})
