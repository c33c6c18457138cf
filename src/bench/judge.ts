import { frameNs } from '../port/clocks.ts'
import { INPUTS, inputsIn } from '../port/pins.ts'
import type { Input, InputMask } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title, TitleSample } from '../title/schema.ts'
import { corners } from './corners.ts'
import type { Corner } from './corners.ts'
import type { Cause, Counterexample, Judgement, SamplePlace, StatedAdapter } from './judgement.ts'
import { reasonFor } from './reason.ts'
import { Sight, takenInputs } from './sight.ts'
import type { Belief, Wrong } from './sight.ts'
import { runTitle } from './timeline.ts'
import type { Look, Shown, Timeline } from './timeline.ts'

export interface JudgeOptions {
  readonly adapter: StatedAdapter
  /** Time to spare, in ns, below which a clean read is called tight. */
  readonly marginNs: number
}

/** The least time to spare that was found so far, and where. Integers and infinity only: nothing is rounded. */
interface Least {
  marginNs: number
  place: SamplePlace | null
  /** What would have to move for the least margin to be used up. */
  by: 'edge' | 'reset'
  counterexample: Counterexample | null
}

/**
 * Puts a profile behind a title's reads: all corners of the ranges, all combinations of inputs, every frame until the
 * pattern repeats.
 *
 * The margin of a sample that is right is the time by which it, or the edges and resets before it, would have to move
 * for it to go wrong. The margin of a wrong one is zero or below: how far inside the wrong reply it stands.
 */
export function judge(profile: Profile, title: Title, { adapter, marginNs }: JudgeOptions): Judgement {
  const sight = new Sight(profile, title)
  const all = corners(profile, title, adapter)
  const timelines = all.map((corner) => runTitle(title, profile.chart, corner))
  const expected = timelines.reduce<Belief>(
    (best, timeline) => beliefOf(sight, title, timeline, best),
    'never',
  )

  const least: Least = { marginNs: Infinity, place: null, by: 'edge', counterexample: null }
  timelines.forEach((timeline) => weigh(sight, title, timeline, expected, least))
  all.forEach((corner, k) => {
    weighResets(sight, title, profile, corner, timelines[k] as Timeline, expected, least)
  })

  const verdict = least.marginNs <= 0 ? 'misread' : least.marginNs < marginNs ? 'tight' : 'clean'
  const judgement: Omit<Judgement, 'reason'> = {
    verdict,
    marginNs: least.marginNs === Infinity ? null : least.marginNs,
    unseen: unseen(profile, title, expected),
    sixButtons:
      title.sixButtons.kind === 'never' ? null : expected === 0 ? true : expected === 'never' ? false : null,
    tightest: least.place && { ...least.place, by: least.by },
    counterexample: verdict === 'misread' ? least.counterexample : null,
  }
  return { ...judgement, reason: reasonFor(judgement, profile, title, adapter) }
}

/** The belief that asks for the least: the one the pad stands for where timing does not spoil it. */
function beliefOf(sight: Sight, title: Title, { shown, looks }: Timeline, best: Belief): Belief {
  if (title.sixButtons.kind === 'assumed') return 0
  if (title.sixButtons.kind === 'never') return 'never'
  eachLook(shown, looks, (look, at) => {
    if (look.sample !== -1) return
    const { rises, level } = shown[at] as Shown
    const belief = sight.belief(rises, level)
    if (belief !== 'never' && (best === 'never' || belief < best)) best = belief
  })
  return best
}

/** Walks looks and what is shown together; `at` is the index of what stands on the pins at the look. */
function eachLook(
  shown: readonly Shown[],
  looks: readonly Look[],
  see: (look: Look, at: number) => void,
): void {
  for (const look of looks) see(look, indexAt(shown, look.atNs))
}

/** Index of the last entry that has begun by `atNs`. */
function indexAt(shown: readonly Shown[], atNs: number): number {
  let low = 0
  let high = shown.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if ((shown[middle] as Shown).fromNs <= atNs) low = middle
    else high = middle - 1
  }
  return low
}

/** Weighs every look of one corner into `least`. */
function weigh(sight: Sight, title: Title, { shown, looks }: Timeline, expected: Belief, least: Least): void {
  let belief: Belief = expected
  eachLook(shown, looks, (look, at) => {
    const wrongAt = (k: number): Wrong | null => {
      const { rises, level } = shown[k] as Shown
      return look.sample === -1
        ? sight.wrongBelief(expected, sight.belief(rises, level))
        : sight.wrong(look.sample, rises, level, needed)
    }
    if (look.sample === -1) {
      const { rises, level } = shown[at] as Shown
      belief = sight.belief(rises, level)
    }
    const waits = look.sample !== -1 && (title.samples[look.sample] as TitleSample).when === 'six-buttons'
    if (waits && belief === 'never') return
    const needed: InputMask = waits && belief !== 'never' ? belief : 0
    const wrong = wrongAt(at)
    if (wrong === null) keepSlack(title, look, at, shown, wrongAt, least)
    else keepWrong(title, look, at, shown, wrong, wrongAt, needed !== 0, least)
  })
}

function unseen(profile: Profile, title: Title, expected: Belief): Input[] {
  const seen = takenInputs(title, 'always')
  if (expected === 0) for (const input of takenInputs(title, 'six-buttons')) seen.add(input)
  const pressable = (input: Input): boolean =>
    profile.mapping[input].length > 0 ||
    profile.layers.some((layer) => (layer.mapping[input]?.length ?? 0) > 0)
  return INPUTS.filter((input) => !seen.has(input) && pressable(input))
}

/** How far a right look is from a reply that it would see wrongly, before and behind it. */
function keepSlack(
  title: Title,
  look: Look,
  at: number,
  shown: readonly Shown[],
  wrongAt: (k: number) => Wrong | null,
  least: Least,
): void {
  for (let k = at; k > 0; k--) {
    const slackNs = look.atNs - (shown[k] as Shown).fromNs
    if (slackNs >= least.marginNs) break
    if (wrongAt(k - 1) === null) continue
    least.marginNs = slackNs
    least.place = placeOf(title, look, shown[at] as Shown)
    break
  }
  for (let k = at + 1; k < shown.length; k++) {
    const next = shown[k] as Shown
    // An edge that the title itself writes after its look cannot come before it.
    if (next.writtenNs !== null && next.writtenNs > look.atNs) break
    const slackNs = next.fromNs - look.atNs
    if (slackNs >= least.marginNs) break
    if (wrongAt(k) === null) continue
    least.marginNs = slackNs
    least.place = placeOf(title, look, shown[at] as Shown)
    break
  }
}

/** Keeps a wrong look when it shows the fault with fewer inputs, or as few but earlier, than the one that is kept. */
function keepWrong(
  title: Title,
  look: Look,
  at: number,
  shown: readonly Shown[],
  wrong: Wrong,
  wrongAt: (k: number) => Wrong | null,
  falseBelief: boolean,
  least: Least,
): void {
  const stands = shown[at] as Shown
  const until = shown[at + 1]?.fromNs ?? Infinity
  // A reply that never changes is wrong by a whole frame.
  const insideNs = Math.min(look.atNs - stands.fromNs, until - look.atNs, frameNs(title.standard))
  const counterexample: Counterexample = {
    held: inputsIn(wrong.held),
    place: placeOf(title, look, stands),
    pins: wrong.pins,
    phantom: wrong.phantom,
    missed: wrong.missed,
    cause: causeOf(title, look, at, shown, wrongAt, falseBelief),
  }
  if (least.counterexample === null || simpler(counterexample, least.counterexample)) {
    least.counterexample = counterexample
    least.place = counterexample.place
  }
  least.marginNs = Math.min(least.marginNs, insideNs === 0 ? 0 : -insideNs)
}

/** The sample of the title at a look. */
const phaseOf = (title: Title, look: Look): { cycle: number; level: 'low' | 'high' } => {
  if (look.sample !== -1) return title.samples[look.sample] as TitleSample
  if (title.sixButtons.kind === 'identified') return title.sixButtons
  throw new Error('a title without identification has no look for it')
}

function causeOf(
  title: Title,
  look: Look,
  at: number,
  shown: readonly Shown[],
  wrongAt: (k: number) => Wrong | null,
  falseBelief: boolean,
): Cause {
  const { level } = phaseOf(title, look)
  const stands = shown[at] as Shown
  if (title.drive.kind === 'released' && level === 'high' && stands.level === 'low') return 'slow-rise'
  for (let k = at + 1; k < shown.length; k++) {
    const { writtenNs } = shown[k] as Shown
    if (writtenNs !== null && writtenNs > look.phaseStartNs) break
    if (writtenNs === look.phaseStartNs && wrongAt(k) === null) return 'settling'
  }
  if (falseBelief) return 'belief'
  return 'count'
}

const placeOf = (title: Title, look: Look, shown: Shown): SamplePlace => {
  const { cycle, level } = phaseOf(title, look)
  return {
    frame: look.frame + 1,
    read: look.read + 1,
    cycle,
    level,
    rises: shown.rises,
    shownLevel: shown.level,
    atNs: look.atNs - look.readStartNs,
    afterEdgeNs: look.atNs - look.phaseStartNs,
  }
}

/** Fewer inputs held first, then the earlier sample. */
function simpler(p: Counterexample, q: Counterexample): boolean {
  const order = ({ held, place }: Counterexample) => [held.length, place.frame, place.read, place.atNs]
  const [ours, theirs] = [order(p), order(q)]
  const k = ours.findIndex((value, at) => value !== theirs[at])
  return k !== -1 && (ours[k] as number) < (theirs[k] as number)
}

/**
 * What if an idle reset came on the other side of a rise? Looks at the rises nearest to the reset first, and no further
 * than the least margin that is already known.
 */
function weighResets(
  sight: Sight,
  title: Title,
  profile: Profile,
  corner: Corner,
  timeline: Timeline,
  expected: Belief,
  least: Least,
): void {
  const moves = [...timeline.gapsNs]
    .map((gapNs) => (gapNs < corner.idleResetNs ? gapNs : gapNs + 1))
    .map((idleResetNs) => ({ idleResetNs, byNs: Math.abs(idleResetNs - corner.idleResetNs) }))
    .sort((p, q) => p.byNs - q.byNs)
  for (const { idleResetNs, byNs } of moves) {
    if (byNs >= least.marginNs) return
    const other: Least = { marginNs: Infinity, place: null, by: 'edge', counterexample: null }
    weigh(sight, title, runTitle(title, profile.chart, { ...corner, idleResetNs }), expected, other)
    if (other.marginNs > 0 || other.counterexample === null) continue
    least.marginNs = byNs
    least.place = other.counterexample.place
    least.by = 'reset'
    return
  }
}
