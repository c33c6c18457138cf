import { timeWord } from '../../words/figures.ts'
import type { ReleasedLine } from '../../port/rise.ts'
import { riseNs } from '../../port/rise.ts'
import { TITLE_LIMITS } from '../../title/title-limits.ts'
import { riseTexts } from './title-form-texts.ts'

/** A released line as people measure it; a field that is empty is null. */
export interface LineFields {
  readonly pullUpKiloohm: number | null
  readonly capacitancePf: number | null
  readonly thresholdV: number | null
  readonly supplyV: number | null
}

/** A pull-up, a length of cable with an input, and the threshold of a CMOS input at 5 V (all from memory). */
export const USUAL_LINE: LineFields = { pullUpKiloohm: 10, capacitancePf: 150, thresholdV: 3, supplyV: 5 }

/** The rise of a line in ns, or `null`, with a sentence: the rise in words, or what is missing. */
export function riseOf({ pullUpKiloohm, capacitancePf, thresholdV, supplyV }: LineFields): {
  readonly ns: number | null
  readonly words: string
} {
  if (pullUpKiloohm === null || capacitancePf === null || thresholdV === null || supplyV === null)
    return { ns: null, words: riseTexts.incomplete }
  if (pullUpKiloohm <= 0 || capacitancePf <= 0 || thresholdV <= 0)
    return { ns: null, words: riseTexts.notPositive }
  const line: ReleasedLine = { pullUpOhm: pullUpKiloohm * 1_000, capacitancePf, thresholdV, supplyV }
  const ns = riseNs(line)
  if (ns === Infinity)
    return { ns: null, words: riseTexts.neverHigh({ supply: supplyV, threshold: thresholdV }) }
  if (ns > TITLE_LIMITS.maxSpacingNs) return { ns: null, words: riseTexts.tooLong({ time: timeWord(ns) }) }
  return {
    ns,
    words: riseTexts.found({ pullUp: pullUpKiloohm, capacitance: capacitancePf, time: timeWord(ns) }),
  }
}
