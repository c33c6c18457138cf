import { expect } from 'vitest'
import type { Witness } from '../../src/bench/witness.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import type { Draws, limits } from './play.ts'

/** The draws that play a witness again, each checked to lie within its range. */
export function drawsOf(witness: Witness, title: ShortTitle, within: ReturnType<typeof limits>): Draws {
  const inside = ({ minNs, maxNs }: { minNs: number; maxNs: number }, ns: number, what: string): number => {
    if (ns < minNs || ns > maxNs) expect.fail(`${what} of ${ns} ns is outside of ${minNs}..${maxNs}`)
    return ns
  }
  const { reads, counted } = witness
  const starts = reads.map(({ placeNs, startNs }) => inside(within.readStart, startNs - placeNs, 'start'))
  const nexts = reads.slice(1).map(({ placeNs }, k) => {
    const range = within.toNextRead[k % title.readOffsetsNs.length]
    if (range === undefined) throw new Error('no such read')
    return inside(range, placeNs - (reads[k]?.placeNs ?? 0), 'way to the next read')
  })
  // Phases without a write have no time of their own but that of the read's start and the writes and samples after it.
  const opens = reads.map(({ startNs, writes }) => [
    ...(title.rest === 'high' ? [startNs] : []),
    ...writes.map(({ atNs }) => atNs),
  ])
  const spacings = opens.flatMap((at) =>
    at.slice(1).map((ns, k) => inside(within.spacing, ns - (at[k] ?? 0), 'spacing')),
  )
  const samples = reads.flatMap(({ samples }, read) =>
    samples.map(({ atNs, phase }) => inside(within.sample, atNs - (opens[read]?.[phase] ?? 0), 'sample')),
  )
  const rises = reads.flatMap(({ writes }) =>
    writes
      .filter(({ level }) => level === 'high')
      .map(({ atNs, risesNs }) => inside(within.rise, (risesNs ?? atNs) - atNs, 'rise')),
  )
  const replies = counted.map(({ atNs, shownNs }) => inside(within.reply, shownNs - atNs, 'reply'))
  const idles = counted.flatMap(({ atNs, resetsNs }) =>
    resetsNs === null ? [] : [inside(within.idle, resetsNs - atNs, 'reset')],
  )
  // What comes after the witness may take the least time that it can.
  return {
    readStart: () => starts.shift() ?? within.readStart.minNs,
    toNextRead: (read) => nexts.shift() ?? within.toNextRead[read]?.minNs ?? 0,
    spacing: () => spacings.shift() ?? within.spacing.minNs,
    sample: () => samples.shift() ?? within.sample.minNs,
    rise: () => rises.shift() ?? within.rise.minNs,
    reply: () => replies.shift() ?? within.reply.minNs,
    idle: () => idles.shift() ?? within.idle.minNs,
  }
}
