import { VIDEO_STANDARDS, frameNs } from '../../port/clocks.ts'
import type { Repeat } from '../../profile/schema.ts'

/** What a repeat that counts milliseconds comes to. */

type TimeRepeat = Extract<Repeat, { kind: 'time' }>

const NS_PER_MS = 1_000_000

/** "12.5 Hz, on 40 % of the time". */
export function timeRateWords({ pressedMs, releasedMs }: TimeRepeat): string {
  const wholeMs = pressedMs + releasedMs
  return `${(1000 / wholeMs).toFixed(1)} Hz, on ${Math.round((100 * pressedMs) / wholeMs)} % of the time`
}

/** Where a title that samples once a frame can pass over one half of the repeat; `null` where it cannot. */
export function missedWords({ pressedMs, releasedMs }: TimeRepeat): string | null {
  const shortest = Math.min(pressedMs, releasedMs)
  const missing = VIDEO_STANDARDS.filter((standard) => shortest * NS_PER_MS < frameNs(standard))
  if (missing.length === 0) return null
  const frame =
    missing.length === VIDEO_STANDARDS.length
      ? 'a frame'
      : `a frame of ${missing.join(' or ').replaceAll('-line', ' lines')}`
  const half = pressedMs <= releasedMs ? 'presses' : 'pauses'
  return `Shorter than ${frame}: a title that samples once a frame can miss ${half}.`
}
