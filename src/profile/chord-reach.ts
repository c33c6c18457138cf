import type { Control } from '../pad/controls.ts'
import type { Chord } from './schema.ts'

/**
 * When each control of a chord has to go down, in ms from the first, so that the chord comes on. `impossible`: it never does.
 * `unknown`: so many chords lie within it that this was not worked out.
 */
export type ChordReach = ReadonlyMap<Control, number> | 'impossible' | 'unknown'

/** More controls in orders than this are not tried. */
const MOST_ORDERED = 5

const liesIn = (inner: Chord, outer: Chord): boolean =>
  inner.held.every((control) => outer.held.includes(control))

/**
 * How the chord at place `k` can be made to come on, with nothing but its own controls. All at once does, unless an earlier chord lies
 * within it and takes its controls first: then the controls have to come one behind the other, too slowly for the ones
 * within, still quickly enough for this one.
 */
export function chordReach(chords: readonly Chord[], k: number): ChordReach {
  const chord = chords[k]
  if (chord === undefined) return 'impossible'
  const within = chords.flatMap((other, place) =>
    place !== k && liesIn(other, chord) ? [{ ...other, isEarlier: place < k }] : [],
  )
  const earlier = within.filter(({ isEarlier }) => isEarlier)
  const atOnce = new Map(chord.held.map((control) => [control, 0]))
  if (earlier.length === 0) return atOnce
  // Whenever this one would come on, that one does before it; no order has to be tried.
  if (earlier.some(({ withinMs }) => withinMs >= chord.withinMs)) return 'impossible'
  const ordered = chord.held.filter((control) => within.some(({ held }) => held.includes(control)))
  if (ordered.length > MOST_ORDERED) return 'unknown'
  for (const order of permutations(ordered)) {
    for (let last = 1; last < order.length; last++) {
      const times = timesOf(order, last, within)
      if (times !== null && times.lastMs <= chord.withinMs)
        return new Map(chord.held.map((control) => [control, times.atMs.get(control) ?? times.lastMs]))
    }
  }
  return 'impossible'
}

/**
 * The earliest times in this order, those from place `last` on all in one instant: each chord within is missed, or (a later one) comes on no
 * sooner than in that last instant, in which the chord itself is looked at first. `null` where that cannot be.
 */
function timesOf(
  order: readonly Control[],
  last: number,
  within: readonly (Chord & { readonly isEarlier: boolean })[],
): { readonly atMs: ReadonlyMap<Control, number>; readonly lastMs: number } | null {
  const atMs = new Map<Control, number>()
  let nowMs = 0
  for (const [place, control] of order.entries()) {
    for (const { held, withinMs, isEarlier } of within) {
      const places = held.map((one) => order.indexOf(one))
      if (Math.max(...places) !== place || (place >= last && !isEarlier)) continue
      const first = Math.min(...places)
      if (first >= last) return null
      nowMs = Math.max(nowMs, (atMs.get(order[first] as Control) ?? 0) + withinMs + 1)
    }
    if (place < last) atMs.set(control, nowMs)
  }
  return { atMs, lastMs: nowMs }
}

function* permutations<T>(list: readonly T[]): Generator<readonly T[]> {
  if (list.length === 0) yield []
  for (const [k, first] of list.entries())
    for (const rest of permutations(list.toSpliced(k, 1))) yield [first, ...rest]
}
