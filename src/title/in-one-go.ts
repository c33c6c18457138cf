import { edgesOf, restNs } from './rests.ts'
import type { Edges } from './rests.ts'
import type { Mode, Title } from './schema.ts'
import { turnsOf } from './steps/turns.ts'

/** A program reads six buttons in one go: with no rest between two edges that is longer than this, in ns (common practice, no source). */
export const IN_ONE_GO_NS = 250_000
/** Rises after which an original pad with six buttons has the extra ones (port-facts). */
export const EXTRA_AFTER_RISES = 3

/**
 * For each read of a mode how many rises can have come in one go when it begins, up to those after which the extra buttons come: 0, and what the reads before it
 * made where it follows them without a longer rest. Reads of one go are late together, so how late they can be is left out.
 *
 * @throws what {@link turnsOf} throws where the title contradicts itself
 */
export function risesBefore(title: Title, number: number): readonly (readonly number[])[] {
  const mode = title.modes[number] as Mode
  const edges = mode.reads.map((read) => edgesOf(read, title.idle))
  const turns = turnsOf(title, mode, ['modes', number])
  const reads = turns.turns.map((turn) => turn.number)
  const before = reads.map(() => new Set([0]))
  const follows = reads.map((_, k) => restNs(title, turns, k, edges) <= IN_ONE_GO_NS)
  for (let times = 0; times < EXTRA_AFTER_RISES; times++)
    reads.forEach((read, k) => {
      if (!follows[k]) return
      for (const known of before[k] as Set<number>) {
        const rises = known + (edges[read] as Edges).rises
        if (rises <= EXTRA_AFTER_RISES) before[(k + 1) % reads.length]?.add(rises)
      }
    })
  return mode.reads.map((_, read) => [
    ...new Set(before.flatMap((rises, k) => (reads[k] === read ? [...rises] : []))),
  ])
}
