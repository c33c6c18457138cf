import { INPUTS } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { boxOf } from './box.ts'
import type { Box } from './box.ts'
import { exploreUpTo } from './explore.ts'
import type { Exploration, Turn } from './explore.ts'
import { explored } from './explored.ts'
import { findingsOf } from './findings.ts'
import type { Judgement, StatedAdapter } from './judgement.ts'
import { reasonFor } from './reason.ts'
import { Sight, takenInputs } from './sight.ts'
import type { Belief } from './sight.ts'
import { inOrder, simplest, weigh } from './weigh.ts'
import type { Weighed } from './weigh.ts'

export interface JudgeOptions {
  readonly adapter: StatedAdapter
  /** Time to spare, in ns, below which a clean read is called tight. */
  readonly marginNs: number
}

/**
 * Puts a profile behind a title's reads: every timing inside the ranges, all combinations of inputs, every frame until
 * nothing new can come.
 *
 * The margin of a sample that is right is the time by which it, or the edges and resets before it, would have to move
 * for it to go wrong. The margin of a wrong one is zero or below: how far inside the wrong reply it can stand.
 */
export function judge(profile: Profile, title: Title, options: JudgeOptions): Judgement {
  const box = boxOf(profile, title, options.adapter)
  return judgeExplored(profile, title, options, box, explored(title, profile.chart, box))
}

/** Judges what was explored already, for those who try many cells on one timing. */
export function judgeExplored(
  profile: Profile,
  title: Title,
  { marginNs }: JudgeOptions,
  box: Box,
  exploration: Exploration,
): Judgement {
  const sight = new Sight(profile, title)
  const weighed = weigh(exploration, sight, title)
  const turned = turnedRound(weighed, exploration.turns, (turn) => {
    const other = exploreUpTo(MOST_TURNED, title, profile.chart, widened(box, turn))
    return other && { turns: other.turns, weighed: weigh(other, sight, title) }
  })
  const { expected } = weighed
  const spareNs = turned?.marginNs ?? weighed.marginNs
  const findings = findingsOf(weighed, profile, title, box)
  const counterexample = simplest(
    findings.flatMap(({ weight, example }) => (weight === 'misread' && example ? [example] : [])),
  )
  const verdict = counterexample !== null ? 'misread' : spareNs < marginNs ? 'tight' : 'clean'
  const judgement: Omit<Judgement, 'reason'> = {
    verdict,
    marginNs: spareNs === Infinity ? null : spareNs,
    unseen: unseen(profile, title, expected),
    sixButtons:
      title.sixButtons.kind === 'never' ? null : expected === 0 ? true : expected === 'never' ? false : null,
    tightest: counterexample
      ? { ...counterexample.place, by: 'edge' }
      : (turned?.tightest ?? (weighed.tightest && { ...weighed.tightest, by: 'edge' })),
    counterexample,
    findings,
  }
  return { ...judgement, reason: reasonFor(judgement, profile, title, box.reply.maxNs) }
}

/** Ways to begin a read that are followed when two events change places; beyond it nobody waits for an exact margin. */
const MOST_TURNED = 60
/** So many changes of place are tried one after another. */
const MOST_TURNS = 8

/**
 * What would go wrong if two events that never change places did so: nearest first, and no further than the margin that is known.
 * Where it becomes too much to follow, the margin is rather told too small than too large.
 */
function turnedRound(
  { marginNs, wrongs, tightest }: Weighed,
  turns: readonly Turn[],
  tryTurn: (turn: Turn) => { readonly turns: readonly Turn[]; readonly weighed: Weighed } | null,
): { readonly marginNs: number; readonly tightest: Judgement['tightest'] } | null {
  if (wrongs.size > 0) return null
  const queue = [...turns]
  const tried = new Set<string>()
  for (;;) {
    const turn = takeNearest(queue)
    if (turn === null || size(turn) >= marginNs) return null
    const key = `${turn.of} ${turn.byNs}`
    if (tried.has(key)) continue
    tried.add(key)
    const other = tried.size > MOST_TURNS ? null : tryTurn(turn)
    if (other === null) return { marginNs: size(turn), tightest: tightest && { ...tightest, by: byOf(turn) } }
    const example = simplest(inOrder(other.weighed).map((shown) => shown.example))
    if (example !== null) return { marginNs: size(turn), tightest: { ...example.place, by: byOf(turn) } }
    // Several may have to change places before anything goes wrong.
    const isFurther = ({ of, byNs }: Turn): boolean => of === turn.of && byNs < 0 === turn.byNs < 0
    queue.push(...other.turns.filter(isFurther).map(({ of, byNs }) => ({ of, byNs: turn.byNs + byNs })))
  }
}

const size = ({ byNs }: Turn): number => Math.abs(byNs)

/** Takes the nearest turn out of the queue, the latest of several that are as near. */
function takeNearest(queue: Turn[]): Turn | null {
  let nearest = -1
  let leastNs = Infinity
  for (const [k, turn] of queue.entries()) {
    if (size(turn) > leastNs) continue
    nearest = k
    leastNs = size(turn)
  }
  return queue.splice(nearest, 1)[0] ?? null
}

const byOf = ({ of }: Turn): 'reset' | 'edge' => (of === 'idleReset' ? 'reset' : 'edge')

/** The box with one of its times allowed that much sooner or later. */
function widened(box: Box, { of, byNs }: Turn): Box {
  const range = box[of]
  if (range === null) return box
  const minNs = range.minNs + Math.min(0, byNs)
  const maxNs = range.maxNs + Math.max(0, byNs)
  return { ...box, [of]: { minNs, maxNs } }
}

function unseen(profile: Profile, title: Title, expected: Belief): Input[] {
  const always = takenInputs(title, 'always')
  const extra = takenInputs(title, 'six-buttons')
  const isSeen = (input: Input): boolean => always.has(input) || (expected === 0 && extra.has(input))
  return INPUTS.filter((input) => !isSeen(input) && isPressable(profile, input))
}

/** Whether any control presses this input. */
export const isPressable = (profile: Profile, input: Input): boolean =>
  profile.mapping[input].length > 0 || profile.layers.some((layer) => (layer.mapping[input]?.length ?? 0) > 0)
