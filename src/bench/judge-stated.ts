import { INPUTS } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import type { Belief } from './belief.ts'
import { boxOf } from './box.ts'
import { exploreTitle, explored } from './explored.ts'
import { findingsOf } from './findings.ts'
import type { Judgement, JudgeOptions } from './judgement.ts'
import { reasonFor } from './reason.ts'
import { inShownFrames } from './shown-frames.ts'
import { takenInputs } from './sight.ts'
import { moveThatHurts } from './moves.ts'
import { isPressable } from './pressable.ts'
import { simplest } from './weigh.ts'
import { weighTitle } from './weigh-title.ts'

/**
 * Puts a profile behind a title's reads, as its file states them: every timing inside the ranges, all combinations of inputs, every frame until
 * nothing new can come.
 *
 * The margin of a sample that is right is the time by which it, or the edges and resets before it, would have to move
 * for it to go wrong. The margin of a wrong one is zero or below: how far inside the wrong reply it can stand.
 */
export function judgeStated(profile: Profile, title: Title, { adapter, marginNs }: JudgeOptions): Judgement {
  const box = boxOf(profile, title, adapter)
  const exploration = explored(title, profile.chart, box)
  const all = weighTitle(profile, title, box, exploration)
  const { weighed, leftOver, stays } = inShownFrames(all, all)
  const { expected } = weighed
  const isRight = weighed.wrongs.size === 0 && stays === null
  const turned = isRight
    ? moveThatHurts(box, weighed.marginNs, (wider) => {
        const there = weighTitle(profile, title, wider, exploreTitle(title, profile.chart, wider))
        return there.stays ?? there.weighed
      })
    : null
  const findings = findingsOf(weighed, profile, title, box, leftOver, stays)
  const spareNs = stays?.marginNs ?? turned?.marginNs ?? weighed.marginNs
  const counterexample = simplest(
    findings.flatMap(({ weight, example }) => (weight === 'misread' && example ? [example] : [])),
  )
  const doubt = findings.find(({ weight }) => weight === 'doubt')
  const verdict =
    counterexample !== null ? 'misread' : doubt ? 'undecided' : spareNs < marginNs ? 'tight' : 'clean'
  const judgement: Omit<Judgement, 'reason'> = {
    verdict,
    hangsOn: verdict === 'undecided' ? { kind: 'budget', misreadIf: [], cleanIf: '', trial: null } : null,
    marginNs: spareNs === Infinity ? null : spareNs,
    unseen: unseen(profile, title, expected),
    sixButtons:
      title.sixButtons.kind === 'never' ? null : expected === 0 ? true : expected === 'never' ? false : null,
    tightest: counterexample
      ? { ...counterexample.place, by: 'edge' }
      : (turned?.tightest ?? weighed.tightest),
    counterexample,
    findings,
  }
  const wrong = findings.find(({ example }) => example !== null && example === counterexample) ?? doubt
  return { ...judgement, reason: wrong?.sentence ?? reasonFor(judgement, profile, title, box.reply.maxNs) }
}

function unseen(profile: Profile, title: Title, expected: Belief): Input[] {
  const always = takenInputs(title, 'always')
  const extra = takenInputs(title, 'six-buttons')
  const isSeen = (input: Input): boolean => always.has(input) || (expected === 0 && extra.has(input))
  return INPUTS.filter((input) => !isSeen(input) && isPressable(profile, input))
}
