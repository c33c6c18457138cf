import { INPUTS } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import type { Belief } from './belief.ts'
import { boxOf } from './box.ts'
import type { Box } from './box.ts'
import { explored, isWhole } from './explored.ts'
import type { AskedOf } from './explored.ts'
import { findingsOf } from './findings.ts'
import type { Judgement, JudgeOptions } from './judgement.ts'
import { reasonFor } from './reason.ts'
import { saysAll, standInsFor } from './resets-in-rests.ts'
import { inShownFrames } from './shown-frames.ts'
import { Sight, takenInputs } from './sight.ts'
import { moveThatHurts } from './moves.ts'
import type { Move } from './moves.ts'
import { isPressable } from './pressable.ts'
import { notFollowed } from './not-followed.ts'
import { simplest } from './weigh.ts'
import { weighTitle } from './weigh-title.ts'
import type { WeighedTitle } from './weigh-title.ts'
import type { WorkBudget } from './work-budget.ts'

/** A title that was weighed, with what can be said of it. */
export interface WeighedStated {
  /** What its samples say for themselves: the margin may be less. A misread is one, and what is not decided is not, whatever moves. */
  readonly atRest: () => Judgement
  readonly judgement: () => Judgement
}

/**
 * Puts a profile behind a title's reads, as its file states them: every timing inside the ranges, all combinations of inputs, every frame until
 * nothing new can come.
 *
 * The margin of a sample that is right is the time by which it, or the edges and resets before it, would have to move
 * for it to go wrong. The margin of a wrong one is zero or below: how far inside the wrong reply it can stand.
 *
 * The budget goes to what can come from power-on first, then to what was counted before, and to the margin last: what is wrong stays so where it
 * ends, and what is proved is told.
 */
export function weighStated(
  profile: Profile,
  title: Title,
  { adapter, marginNs }: JudgeOptions,
  budget: WorkBudget,
): WeighedStated {
  const box = boxOf(profile, title, adapter)
  const sight = new Sight(profile, title)
  const weighedIn = (within: Box, asked?: AskedOf): WeighedTitle => {
    const exploration = explored(title, profile.chart, within, budget, asked)
    return weighTitle(profile, title, within, exploration, budget, sight)
  }
  /** Weighed with a reset that stands for this one; `null` where none says all that can be told. */
  const stoodFor = (): { readonly found: WeighedTitle; readonly within: Box } | null => {
    for (const standIn of standInsFor(sight.schedule, box)) {
      const { left } = budget
      const found = weighedIn(standIn.box)
      if (saysAll(standIn, found)) return { found, within: standIn.box }
      // It was asked for nothing.
      budget.spend(budget.left - left)
      if (!found.isWhole) return null
    }
    return null
  }
  const known = stoodFor()
  const { found, within } = known ?? { found: weighedIn(box), within: box }
  const all = inShownFrames(found, found)
  const { weighed, stays } = all
  const isRight = all.isWhole && weighed.wrongs.size === 0 && stays === null
  const hurts = (): Move | null =>
    moveThatHurts(within, known !== null, weighed.marginNs, marginNs, (wider) => {
      const there = weighedIn(wider, 'what-is-met')
      return there.isWhole ? (there.stays ?? there.weighed) : null
    })
  const judged = (turned: Move | null): Judgement => judgementOf(profile, title, marginNs, box, all, turned)
  let resting: Judgement | null = null
  const atRest = (): Judgement => (resting ??= judged(null))
  return {
    atRest,
    judgement: () => {
      const turned = isRight ? hurts() : null
      return turned === null ? atRest() : judged(turned)
    },
  }
}

/** @param turned what hurts first of all that can move */
function judgementOf(
  profile: Profile,
  title: Title,
  requiredNs: number,
  box: Box,
  all: WeighedTitle,
  turned: Move | null,
): Judgement {
  const { weighed, stays } = all
  const findings = findingsOf(all, profile, title, box)
  const open = notFollowed(all)
  const spareNs = stays?.marginNs ?? turned?.marginNs ?? weighed.marginNs
  const expected = expectedOf(title, all)
  const counterexample = simplest(
    findings.flatMap(({ weight, example }) => (weight === 'misread' && example ? [example] : [])),
  )
  const doubt = findings.find(({ weight }) => weight === 'doubt')?.sentence ?? open
  const verdict =
    counterexample !== null
      ? 'misread'
      : doubt !== null
        ? 'undecided'
        : spareNs < requiredNs
          ? 'tight'
          : 'clean'
  const judgement: Omit<Judgement, 'reason'> = {
    verdict,
    isWhole: all.isWhole && !(turned?.isLeast ?? false),
    hangsOn: verdict === 'undecided' ? { kind: 'budget', misreadIf: [], cleanIf: '', trial: null } : null,
    marginNs: spareNs === Infinity || open !== null ? null : spareNs,
    unseen: unseen(profile, title, expected),
    sixButtons:
      title.sixButtons.kind === 'never' ? null : expected === 0 ? true : expected === 'never' ? false : null,
    tightest: counterexample
      ? { ...counterexample.place, by: 'edge' }
      : turned?.isLeast || open !== null
        ? null
        : (turned?.tightest ?? weighed.tightest),
    counterexample,
    findings,
  }
  const wrong = findings.find(({ example }) => example !== null && example === counterexample)
  return {
    ...judgement,
    reason: wrong?.sentence ?? doubt ?? reasonFor(judgement, profile, title, box.reply.maxNs),
  }
}

/** The belief that the pad stands for; `null` where it takes more to tell than was followed. */
const expectedOf = (title: Title, { weighed, exploration }: WeighedTitle): Belief | null =>
  title.sixButtons.kind === 'told' && !isWhole(exploration) ? null : weighed.expected

function unseen(profile: Profile, title: Title, expected: Belief | null): Input[] {
  const always = takenInputs(title, 'always')
  const extra = takenInputs(title, 'six-buttons')
  const isSeen = (input: Input): boolean => always.has(input) || ((expected ?? 0) === 0 && extra.has(input))
  return INPUTS.filter((input) => !isSeen(input) && isPressable(profile, input))
}
