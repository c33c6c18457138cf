import type { Box } from './box.ts'
import type { Judgement } from './judgement.ts'
import { inOrder, simplest } from './weigh.ts'
import type { Weighed } from './weigh.ts'

/** The least by which an idle reset or a slow rise would have to come sooner or later for something to go wrong, and what then does. */
export interface Move {
  readonly marginNs: number
  readonly tightest: Judgement['tightest']
  /** Whether that is only the least that is proved, as the budget ended before what goes wrong was found. */
  readonly isLeast: boolean
}

/** What comes of a box: all is right, something is wrong, or the budget ended first. */
type Answer = 'right' | WrongsOf | 'not-followed'

type WrongsOf = Pick<Weighed, 'wrongs'>

interface Direction {
  readonly of: 'idleReset' | 'rise'
  readonly isLater: boolean
}

const OF_RISES: readonly Direction[] = [
  { of: 'rise', isLater: false },
  { of: 'rise', isLater: true },
]

const OF_ALL: readonly Direction[] = [
  { of: 'idleReset', isLater: false },
  { of: 'idleReset', isLater: true },
  ...OF_RISES,
]

/** No profile waits longer for an idle reset, and nobody for a margin. */
const MOST_NS = 250_000_000

/**
 * Looks whether moving resets or rises hurts sooner than what is known to hurt. What can be met only grows with the box, so one question at the
 * best margin known, with all that can move, says whether there is anything to find; the next says whether that is less than is required, which is
 * all that a verdict hangs on; then halving finds it.
 *
 * @param areResetsAway whether no reset hurts that comes nearer by less than the best margin known
 * @param knownNs the best margin known; nothing from there on is asked
 * @param requiredNs the margin that is required
 * @param weighed what goes wrong in another box; `null` where the budget ends first
 */
export function moveThatHurts(
  box: Box,
  areResetsAway: boolean,
  knownNs: number,
  requiredNs: number,
  weighed: (box: Box) => WrongsOf | null,
): Move | null {
  const ask = (directions: readonly Direction[], byNs: number): Answer => {
    const answer = weighed(directions.reduce((wider, direction) => moved(wider, direction, byNs), box))
    return answer === null ? 'not-followed' : answer.wrongs.size > 0 ? answer : 'right'
  }
  const directions = (areResetsAway ? OF_RISES : OF_ALL).filter(({ of }) => box[of] !== null)
  /** By so much all of them can move, and nothing goes wrong. */
  let rightNs = 0
  const least = (): Move => ({ marginNs: rightNs + 1, tightest: null, isLeast: true })
  if (knownNs < 2 || directions.length === 0) return null
  const all = ask(directions, Math.min(knownNs - 1, MOST_NS))
  if (all === 'right') return null
  if (all === 'not-followed') return least()
  if (requiredNs > 1 && requiredNs < knownNs) {
    const required = ask(directions, requiredNs - 1)
    if (required === 'not-followed') return least()
    if (required === 'right') rightNs = requiredNs - 1
  }
  let found: Move | null = null
  for (const direction of directions) {
    const range = box[direction.of]
    if (range === null) continue
    const bestNs = found?.marginNs ?? knownNs
    const mostNs = Math.min(bestNs - 1, direction.isLater ? MOST_NS : range.minNs)
    let answer = mostNs <= rightNs ? 'right' : ask([direction], mostNs)
    if (answer === 'not-followed') return least()
    if (answer === 'right') continue
    let [right, wrong] = [rightNs, mostNs]
    while (wrong - right > 1) {
      const middle = Math.floor((right + wrong) / 2)
      const there = ask([direction], middle)
      if (there === 'not-followed') return least()
      if (there === 'right') right = middle
      else [wrong, answer] = [middle, there]
    }
    const example = simplest(inOrder(answer).map((one) => one.example))
    const by = direction.of === 'idleReset' ? ('reset' as const) : ('rise' as const)
    found = { marginNs: wrong, tightest: example && { ...example.place, by }, isLeast: false }
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
