import { inputList } from '../port/input-texts.ts'
import type { Profile } from '../profile/schema.ts'
import { waysOf } from '../title/possible.ts'
import type { Title } from '../title/schema.ts'
import { isUntouched } from '../title/untouched.ts'
import { asksSixDoubts } from './asks-six.ts'
import { findDoubts } from './doubts.ts'
import { t } from './doubt-texts.ts'
import { oppositeExample } from './findings.ts'
import { hangsOn, undecidedReason } from './hangs-on.ts'
import { leftOverDoubts } from './left-over-doubts.ts'
import { isRight } from './judgement.ts'
import type { Finding, HangsOn, Judgement, JudgeOptions } from './judgement.ts'
import { Judging } from './judging.ts'
import { WorkBudget } from './work-budget.ts'
import { badness } from './worst-of.ts'

/**
 * Puts a profile behind everything that a title may be, for all that is known of it: clean or tight where every one of these is, a misread where
 * every one of them misreads, otherwise undecided, with what decides. What a file states without a doubt is judged as it stands. All of it is asked
 * on one budget.
 */
export function judge(
  profile: Profile,
  title: Title,
  options: JudgeOptions,
  budget = new WorkBudget(),
): Judgement {
  const judging = new Judging(profile, options, budget)
  const weighed: ReturnType<Judging['weigh']>[] = []
  for (const way of waysOf(title)) if (!judging.isOver) weighed.push(judging.weigh(way))
  const judged = weighed.map((one) => one.judged)
  const stated = judged[0] as Judgement
  if (isUntouched(title)) return undecided(stated, NOT_DESCRIBED, t.notDescribed, [])
  const areRight = judged.every(isRight)
  const inEdges = leftOverDoubts(profile, title, options)
  const left = areRight && inEdges.length === 0 ? asksSixDoubts(profile, title) : inEdges
  if (areRight && left.length === 0)
    return withOppositeNote(altogether(weighed.map((one) => one.judgement())), profile, title)
  const cut = judged.find(({ hangsOn }) => hangsOn !== null)
  if (cut) return cut
  const doubts = findDoubts(title, judging)
  if (doubts.kind === 'sure') return doubts.judgement
  const possible = doubts.found.flatMap(({ judgement }) => judgement.findings)
  if (judging.isOver)
    return { ...undecided(stated, TOO_OPEN, tooOpenReason(doubts.found.length), possible), isWhole: false }
  const hangs = hangsOn(profile, options, title, doubts, left)
  return undecided(stated, hangs, undecidedReason(hangs), possible)
}

/**
 * That a title accepts opposite directions at once is taken for granted where nobody knows: it is said where they can come, which is where the profile passes both. It
 * does not leave a verdict undecided, because no capture can settle it: every captured title would then be undecided with every profile that passes both, as the
 * built-in ones do, and *undecided* would no longer tell anything. What the note names is in the profile's hand: an axis that passes neither, the
 * first or the last of two has none. That both directions look like the identification is another matter: it hangs on a sample that edges show, and is a doubt.
 */
function withOppositeNote(judgement: Judgement, profile: Profile, title: Title): Judgement {
  if (title.sources?.takesOpposite?.kind !== 'guessed') return judgement
  const example = oppositeExample(profile, title)
  if (example === null) return judgement
  const sentence = t.oppositeGuessed({ inputs: inputList(example.held) })
  return {
    ...judgement,
    findings: [...judgement.findings, { kind: 'opposite', weight: 'note', sentence, example: null }],
  }
}

const tooOpenReason = (n: number): string => (n === 0 ? t.tooOpen : t.tooOpenMisreads({ n }))

const NOT_DESCRIBED: HangsOn = { kind: 'not-described', misreadIf: [], cleanIf: '', trial: null }
const TOO_OPEN: HangsOn = { kind: 'budget', misreadIf: [], cleanIf: '', trial: null }

/** Of several that read right, the one with the least to spare, and what holds of all of them. */
function altogether(judged: readonly Judgement[]): Judgement {
  const marginOf = ({ marginNs }: Judgement): number => marginNs ?? Infinity
  const worst = judged.reduce((one, other) =>
    badness(other) > badness(one) || marginOf(other) < marginOf(one) ? other : one,
  )
  return {
    ...worst,
    isWhole: judged.every(({ isWhole }) => isWhole),
    unseen: worst.unseen.filter((input) => judged.every(({ unseen }) => unseen.includes(input))),
    sixButtons: judged.every(({ sixButtons }) => sixButtons === worst.sixButtons) ? worst.sixButtons : null,
  }
}

function undecided(
  stated: Judgement,
  hangsOn: HangsOn,
  reason: string,
  possible: readonly Finding[],
): Judgement {
  const misreads = [...possible, ...stated.findings].filter(({ weight }) => weight === 'misread')
  const kinds = new Map(misreads.reverse().map((finding) => [finding.kind, finding]))
  const notes = stated.findings.filter(({ weight }) => weight === 'note')
  return {
    ...stated,
    verdict: 'undecided',
    hangsOn,
    marginNs: null,
    tightest: null,
    counterexample: null,
    findings: [...[...kinds.values()].map((one): Finding => ({ ...one, weight: 'doubt' })), ...notes],
    reason,
  }
}
