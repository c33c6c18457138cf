import { VIDEO_STANDARDS, frameNs } from '../../port/clocks.ts'
import type { Repeat } from '../../profile/schema.ts'
import { eitherWords } from '../../words/lists.ts'
import { figure } from '../../words/texts.ts'
import { t } from './repeat-texts.ts'

/** What a repeat that counts milliseconds comes to. */

type TimeRepeat = Extract<Repeat, { kind: 'time' }>

const NS_PER_MS = 1_000_000

/** "12.5 Hz, on 40 % of the time". */
export function timeRateWords({ pressedMs, releasedMs }: TimeRepeat): string {
  const wholeMs = pressedMs + releasedMs
  return t.timeRate({ rate: figure(1000 / wholeMs, 1), share: Math.round((100 * pressedMs) / wholeMs) })
}

/** Where a title that samples once a frame can pass over one half of the repeat; `null` where it cannot. */
export function missedWords({ pressedMs, releasedMs }: TimeRepeat): string | null {
  const shortest = Math.min(pressedMs, releasedMs)
  const missing = VIDEO_STANDARDS.filter((standard) => shortest * NS_PER_MS < frameNs(standard))
  if (missing.length === 0) return null
  const every = missing.length === VIDEO_STANDARDS.length
  const lines = eitherWords(missing.map((standard) => standard.replace('-line', '')))
  return pressedMs <= releasedMs ? t.presses({ every, lines }) : t.pauses({ every, lines })
}
