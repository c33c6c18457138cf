import type { OneRead } from '../../title/capture/one-read.ts'
import type { CaptureFinding } from '../../title/infer/findings.ts'
import { isOfPad } from '../../title/replies/pad-findings.ts'
import { sizeWord } from '../../words/figures.ts'
import { figure } from '../../words/texts.ts'
import { t } from './capture-texts.ts'

/** Whole per cent, cut off: 100 is said only at the end. An empty file is read at once. */
export const percentOf = (bytesRead: number, size: number): number =>
  size === 0 ? 100 : Math.min(100, Math.floor((100 * bytesRead) / size))

/** "42 %, 1.3 MB of 3.1 MB". */
export const progressWords = (bytesRead: number, size: number): string =>
  t.progress({ percent: percentOf(bytesRead, size), read: sizeWord(bytesRead), size: sizeWord(size) })

/** What was seen, and what no edge can tell, which stands on nothing seen. */
export function partFindings(findings: readonly CaptureFinding[]): {
  readonly seen: readonly CaptureFinding[]
  readonly guessed: readonly CaptureFinding[]
  /** What the data lines tell of the pad. */
  readonly ofPad: readonly CaptureFinding[]
} {
  const isGuessed = ({ sureness, evidence }: CaptureFinding) => sureness === 'guess' && evidence === undefined
  const ofTitle = findings.filter(({ what }) => !isOfPad(what))
  return {
    seen: ofTitle.filter((finding) => !isGuessed(finding)),
    guessed: ofTitle.filter(isGuessed),
    ofPad: findings.filter(({ what }) => isOfPad(what)),
  }
}

/** A time in µs, to the nanosecond. */
export const microseconds = (ns: number): string => `${figure(ns / 1_000)} µs`

/** The drawing of a read for those who do not see it. */
export function readWords({ rest, edgesNs }: OneRead): string {
  const between = edgesNs.slice(1).map((ns, k) => ns - (edgesNs[k] ?? 0))
  const [least, most] = [Math.min(...between), Math.max(...between)]
  const apart =
    least === most ? microseconds(least) : t.range({ min: microseconds(least), max: microseconds(most) })
  return t.read({ rest, n: edgesNs.length, length: microseconds(edgesNs.at(-1) ?? 0), apart })
}
