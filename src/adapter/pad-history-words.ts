import { bytesWord } from '../words/hexadecimal.ts'
import { HISTORY_MAX_DESCRIPTOR_BYTES } from './constants.ts'
import type { LastSeen, MetPad, PadMet } from './kept.ts'

/** What is said of the pads that were plugged into an adapter, and of its last activity. */

/** What became of a pad at the adapter, and what to do. */
export const OUTCOME_WORDS: Readonly<Record<MetPad['outcome'], string>> = {
  served: 'It was served.',
  'no layout': 'No layout for it was in the active bank. Learn it, and flash the bank again.',
  hub: 'Refused: a hub. Plug the pad in without it.',
  keyboard: 'Refused: a keyboard and nothing else. Plug a pad in.',
  'no pad': 'Refused: neither pad nor joystick. Plug a pad in.',
  failed: 'It did not come up. Try another cable, or a pad that draws less current.',
  unlisted: 'The adapter says something of it that this version of Ninepin does not know. Update Ninepin.',
}

/** How the adapter reads a pad. */
export const VIA_WORDS: Readonly<Record<MetPad['via'], string>> = {
  hid: 'HID',
  vendor: 'vendor class',
  unlisted: 'an interface that this version of Ninepin does not know',
}

/** What is kept of its report descriptor. */
export function descriptorWords({ via, descriptorBytes }: PadMet): string {
  if (descriptorBytes > 0)
    return `${descriptorBytes} bytes of report descriptor${descriptorBytes === HISTORY_MAX_DESCRIPTOR_BYTES ? ', or more' : ''}`
  return via === 'vendor' ? 'vendor class, needs no report descriptor' : 'no report descriptor kept'
}

/** A report descriptor as text, sixteen bytes a row. */
export function descriptorText(bytes: Uint8Array): string {
  const rows = Array.from({ length: Math.ceil(bytes.length / 16) }, (_, k) =>
    bytesWord(bytes.subarray(16 * k, 16 * k + 16)),
  )
  return `${rows.join('\n')}\n`
}

/** "0.250 s" since the pad was plugged in. */
export const secondsWord = (ms: number): string => `${(ms / 1000).toFixed(3)} s`

export const risesWord = (rises: number | string): string =>
  `${rises} ${String(rises) === '1' ? 'rise' : 'rises'}`

const span = (values: readonly number[]): string => {
  const [least, most] = [Math.min(...values), Math.max(...values)]
  return least === most ? String(least) : `${least} to ${most}`
}

/** How the last reads came: "The last 16: 4 rises each, 16 to 17 ms apart." */
export function readsWords({ readCount, reads }: LastSeen): string {
  if (readCount === 0 || reads.length === 0) return 'The console has not read the port yet.'
  const rises = risesWord(span(reads.map((read) => read.rises)))
  const apart = reads.slice(1).map((read, k) => read.atMs - (reads[k]?.atMs ?? read.atMs))
  return apart.length === 0
    ? `One read: ${rises}.`
    : `The last ${reads.length}: ${rises} each, ${span(apart)} ms apart.`
}

/**
 * What the most rises in a read say of the title. The extra buttons are on the pins from the third rise on, and four cycles are a whole
 * six-button read (src/port/family.ts; common practice, no source).
 */
export function titleWords({ readCount, mostRises }: LastSeen): string | null {
  if (readCount === 0) return null
  if (mostRises < 3)
    return 'It never comes to the third rise, where the extra buttons are: a title for three buttons.'
  if (mostRises <= 4) return 'It comes to the third rise, where the extra buttons are: a six-button title.'
  return (
    `${mostRises} rises come without an idle reset between them: more than the four of a six-button read. The title reads ` +
    'more than once in a go. Try it on the Titles station.'
  )
}
