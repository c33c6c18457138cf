import type { Box } from './box.ts'
import type { Judgement } from './judgement.ts'
import { inOrder, simplest } from './weigh.ts'
import type { Weighed } from './weigh.ts'

/** The least by which an idle reset or a slow rise would have to come sooner or later for something to go wrong, and what then does. */
export interface Move {
  readonly marginNs: number
  readonly tightest: Judgement['tightest']
}

interface Direction {
  readonly of: 'idleReset' | 'rise'
  readonly isLater: boolean
}

const DIRECTIONS: readonly Direction[] = [
  { of: 'idleReset', isLater: false },
  { of: 'idleReset', isLater: true },
  { of: 'rise', isLater: false },
  { of: 'rise', isLater: true },
]

/** No profile waits longer for an idle reset, and nobody for a margin. */
const MOST_NS = 250_000_000

/**
 * Looks whether moving resets or rises hurts sooner than what is known to hurt. What can be met only grows with the box, so one question at the
 * best margin known, with all that can move, says whether there is anything to find; then halving finds it.
 *
 * @param knownNs the best margin known; nothing from there on is asked
 * @param weighed everything weighed with another box
 */
export function moveThatHurts(box: Box, knownNs: number, weighed: (box: Box) => Weighed): Move | null {
  const ask = (directions: readonly Direction[], byNs: number): Weighed | null => {
    const answer = weighed(directions.reduce((wider, direction) => moved(wider, direction, byNs), box))
    return answer.wrongs.size > 0 ? answer : null
  }
  if (knownNs < 2 || ask(DIRECTIONS, Math.min(knownNs - 1, MOST_NS)) === null) return null
  let found: Move | null = null
  for (const direction of DIRECTIONS) {
    const range = box[direction.of]
    if (range === null) continue
    const bestNs = found?.marginNs ?? knownNs
    const mostNs = Math.min(bestNs - 1, direction.isLater ? MOST_NS : range.minNs)
    let answer = mostNs < 1 ? null : ask([direction], mostNs)
    if (answer === null) continue
    let [right, wrong] = [0, mostNs]
    while (wrong - right > 1) {
      const middle = Math.floor((right + wrong) / 2)
      const there = ask([direction], middle)
      if (there === null) right = middle
      else [wrong, answer] = [middle, there]
    }
    const example = simplest(inOrder(answer).map((one) => one.example))
    const by = direction.of === 'idleReset' ? ('reset' as const) : ('rise' as const)
    found = { marginNs: wrong, tightest: example && { ...example.place, by } }
  }
  return found
}

/** The box with one of its times allowed that much sooner or later. */
function moved(box: Box, { of, isLater }: Direction, byNs: number): Box {
  const range = box[of]
  if (range === null) return box
  const { minNs, maxNs } = range
  return {
    ...box,
    [of]: isLater ? { minNs, maxNs: maxNs + byNs } : { minNs: Math.max(0, minNs - byNs), maxNs },
  }
}
