import { inputList, inputWord } from '../port/input-texts.ts'
import { inputsIn, maskOf } from '../port/pins.ts'
import type { InputMask } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { eitherWords } from '../words/lists.ts'
import type { FoundDoubt } from './doubts.ts'
import { t } from './doubt-texts.ts'
import type { Counterexample, DecidingTrial, JudgeOptions } from './judgement.ts'
import { courseOf } from './play/course.ts'
import { playReads, seen } from './symptoms/play-reads.ts'
import { usualTiming } from './symptoms/timings.ts'

/**
 * What to hold so that the most doubts are settled at once, the fewest inputs first; `null` where nothing can be seen at the usual timing. A player who
 * sees no such press has ruled these doubts out; one who does knows that the title misreads. A press that is missed settles nothing: another sample of
 * the title can see it all the same.
 */
export function decidingTrial(
  profile: Profile,
  options: JudgeOptions,
  doubts: readonly FoundDoubt[],
): DecidingTrial | null {
  const shows = doubts.map(({ title }) => phantomsOf(profile, options, title))
  let best: Omit<DecidingTrial, 'sentence'> | null = null
  for (const { judgement } of doubts) {
    const { held } = judgement.counterexample as Counterexample
    const found = shows.map((show) => show(maskOf(held)))
    const settles = found.flatMap((phantom, k) => (phantom === 0 ? [] : [k]))
    if (settles.length === 0) continue
    const isBetter =
      best === null ||
      settles.length > best.settles.length ||
      (settles.length === best.settles.length && held.length < best.held.length)
    if (isBetter) best = { held, phantom: inputsIn(found.reduce((sum, one) => sum | one, 0)), settles }
  }
  return best && { ...best, sentence: sentenceOf(profile, best) }
}

/** The inputs that a title shows pressed though nobody holds them, at the usual timing. */
function phantomsOf(profile: Profile, options: JudgeOptions, title: Title): (held: InputMask) => InputMask {
  const reads = playReads(
    profile,
    title,
    usualTiming(profile, title, options),
    courseOf(profile, title, options.adapter),
  )
  return (held) => seen(title, reads, held).pressed & ~held
}

const sentenceOf = (profile: Profile, { held, phantom }: Omit<DecidingTrial, 'sentence'>): string =>
  t.trial({
    profile: profile.name,
    hold: held.length === 0 ? t.holdNothing : t.hold({ inputs: inputList(held) }),
    phantom: eitherWords(phantom.map(inputWord)),
  })
