import { bytesWord } from '../words/hexadecimal.ts'
import { figure } from '../words/texts.ts'
import { HISTORY_MAX_DESCRIPTOR_BYTES } from './constants.ts'
import type { LastActivity, ListedPad } from './pad-history.ts'
import { t } from './pad-history-texts.ts'

/** What is said of the pads that were plugged into an adapter, and of its last activity. */

/** What is kept of its report descriptor. */
export function descriptorWords({ via, descriptorBytes }: ListedPad): string {
  if (descriptorBytes === 0) return via === 'vendor' ? t.needsNoDescriptor : t.noDescriptor
  return descriptorBytes === HISTORY_MAX_DESCRIPTOR_BYTES
    ? t.descriptorOrMore({ n: descriptorBytes })
    : t.descriptor({ n: descriptorBytes })
}

/** A report descriptor as text, sixteen bytes a row. */
export function descriptorText(bytes: Uint8Array): string {
  const rows = Array.from({ length: Math.ceil(bytes.length / 16) }, (_, k) =>
    bytesWord(bytes.subarray(16 * k, 16 * k + 16)),
  )
  return `${rows.join('\n')}\n`
}

/** "0.250 s" since the pad was plugged in. */
export const secondsWord = (ms: number): string => t.seconds({ figure: figure(ms / 1000, 3) })

export const risesWord = (rises: number): string => t.rises({ n: rises })

const leastAndMost = (values: readonly number[]) => ({
  least: Math.min(...values),
  most: Math.max(...values),
})

/** How the last reads came: "The last 16: 4 rising edges each, 16 to 17 ms apart." */
export function readsWords({ readCount, reads }: LastActivity): string {
  if (readCount === 0 || reads.length === 0) return t.noRead
  const { least, most } = leastAndMost(reads.map((read) => read.rises))
  const rises = least === most ? risesWord(least) : t.risesRange({ least, most })
  const apart = reads.slice(1).map((read, k) => read.atMs - (reads[k]?.atMs ?? read.atMs))
  if (apart.length === 0) return t.oneRead({ rises })
  const ms = leastAndMost(apart)
  return t.lastReads({
    n: reads.length,
    rises,
    apart: ms.least === ms.most ? ms.least : t.range(ms),
  })
}

/**
 * What the most rising edges in a read say of the title. The extra buttons are on the pins from the third on, and four cycles are a
 * whole six-button read (src/port/family.ts; common practice, no source).
 */
export function titleWords({ readCount, mostRises }: LastActivity): string | null {
  if (readCount === 0) return null
  if (mostRises < 3) return t.threeButtons
  return mostRises <= 4 ? t.sixButtons : t.severalReads({ rises: risesWord(mostRises) })
}
