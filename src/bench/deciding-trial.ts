import { inputList, inputWord } from '../port/input-texts.ts'
import { inputBit, inputsIn, maskOf } from '../port/pins.ts'
import type { Input, InputMask } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { eitherWords } from '../words/lists.ts'
import type { FoundDoubt } from './doubts.ts'
import { t } from './doubt-texts.ts'
import type { Counterexample, DecidingTrial, JudgeOptions } from './judgement.ts'
import { courseOf } from './play/course.ts'
import { playReads, seen } from './symptoms/play-reads.ts'
import { usualTiming } from './symptoms/timings.ts'

/** What a doubt lets somebody see while something is held, at the timing that is usual. */
interface Shown {
  readonly phantom: InputMask
  readonly missed: InputMask
}

/**
 * The thing to hold that settles the most doubts at once, the fewest inputs first; `null` where nothing can be seen at the usual timing. Whoever sees
 * nothing of the kind has ruled these doubts out; whoever does knows that it misreads.
 */
export function decidingTrial(
  profile: Profile,
  options: JudgeOptions,
  doubts: readonly FoundDoubt[],
): DecidingTrial | null {
  const shows = doubts.map((doubt) => watcher(profile, options, doubt))
  let best: Omit<DecidingTrial, 'sentence'> | null = null
  for (const { judgement } of doubts) {
    const { held } = judgement.counterexample as Counterexample
    const found = shows.map((show) => show(maskOf(held)))
    const settles = found.flatMap(({ phantom, missed }, k) => (phantom | missed ? [k] : []))
    if (settles.length === 0) continue
    const isBetter =
      best === null ||
      settles.length > best.settles.length ||
      (settles.length === best.settles.length && held.length < best.held.length)
    if (!isBetter) continue
    const all = (of: (shown: Shown) => InputMask): Input[] =>
      inputsIn(found.reduce((sum, one) => sum | of(one), 0))
    best = { held, phantom: all(({ phantom }) => phantom), missed: all(({ missed }) => missed), settles }
  }
  return best && { ...best, sentence: sentenceOf(profile, best) }
}

function watcher(
  profile: Profile,
  options: JudgeOptions,
  { title, judgement }: FoundDoubt,
): (held: InputMask) => Shown {
  const { missed } = judgement.counterexample as Counterexample
  const reads = playReads(
    profile,
    title,
    usualTiming(profile, title, options),
    courseOf(profile, title, options.adapter),
  )
  return (held) => {
    const { pressed, sampled } = seen(title, reads, held)
    const lost = missed.reduce((sum, input) => sum | (inputBit(input) & held & sampled & ~pressed), 0)
    return { phantom: pressed & ~held, missed: lost }
  }
}

function sentenceOf(profile: Profile, { held, phantom, missed }: Omit<DecidingTrial, 'sentence'>): string {
  const shows = missed.length === 0 ? 'phantom' : phantom.length === 0 ? 'missed' : 'both'
  const either = (inputs: readonly Input[]): string => eitherWords(inputs.map(inputWord))
  return t.trial({
    shows,
    profile: profile.name,
    hold: held.length === 0 ? t.holdNothing : t.hold({ inputs: inputList(held) }),
    phantom: either(phantom),
    missed: either(missed),
  })
}
