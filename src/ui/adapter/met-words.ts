import { HISTORY_MAX_DESCRIPTOR_BYTES } from '../../adapter/constants.ts'
import type { LastSeen, MetPad, PadMet } from '../../adapter/kept.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { listWords } from '../../words/lists.ts'
import { controlsIn } from '../../pad/controls.ts'
import type { ControlMask } from '../../pad/controls.ts'
import { HeldReader } from '../../pad/hold.ts'
import type { StickPair } from '../../pad/hold.ts'
import { isFor } from '../../profile/shadowing.ts'
import { VENDOR_LAYOUT } from '../../pad/layout/built-in.ts'
import type { Layout } from '../../pad/layout/schema.ts'
import { bytesWord } from '../../words/hexadecimal.ts'

/** What became of a pad at the adapter, and what to do. */
export const OUTCOME_WORDS: Readonly<Record<MetPad['outcome'], string>> = {
  served: 'It was served.',
  'no layout': 'No layout for it was in the active bank. Learn it, and flash the bank again.',
  hub: 'Refused: a hub. Plug the pad in without it.',
  keyboard: 'Refused: a keyboard and nothing else. Plug a pad in.',
  'no pad': 'Refused: neither pad nor joystick. Plug a pad in.',
  failed: 'It did not come up. Try another cable, or a pad that draws less current.',
  unlisted: 'The adapter says something of it that this app does not know. Load the page anew.',
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

/** The layout that a pad is read by: the first of these that is for it, else the one that the firmware knows, if it is one of those pads. */
export function layoutFor(met: MetPad, layouts: readonly Layout[]): Layout | null {
  const own = layouts.find(({ pad }) => isFor(pad, met))
  return own ?? (met.via === 'vendor' ? VENDOR_LAYOUT : null)
}

export interface ReportRow {
  readonly atMs: number
  readonly bytes: string
  /** What a layout makes of it; `null` without a layout. */
  readonly held: string | null
}

/** The last reports, oldest first, with what a layout makes of them one after the other. */
export function reportRows(
  { reports }: LastSeen,
  layout: Layout | null,
  sticks: StickPair,
): readonly ReportRow[] {
  const reader = layout && new HeldReader(layout, sticks)
  return reports.map(({ atMs, bytes }) => ({
    atMs,
    bytes: bytesWord(bytes),
    held: reader && heldWords(reader.report(bytes)),
  }))
}

export const heldWords = (mask: ControlMask): string =>
  listWords(controlsIn(mask).map((control) => CONTROL_WORDS[control])) || 'nothing'

/** "0.250 s" since the pad was plugged in. */
export const secondsWord = (ms: number): string => `${(ms / 1000).toFixed(3)} s`

const span = (values: readonly number[]): string => {
  const [least, most] = [Math.min(...values), Math.max(...values)]
  return least === most ? String(least) : `${least} to ${most}`
}

/** How the last reads came: "The last 16: 4 rises each, 16 to 17 ms apart." */
export function readsWords({ readCount, reads }: LastSeen): string {
  if (readCount === 0 || reads.length === 0) return 'The console has not read the port yet.'
  const rises = span(reads.map((read) => read.rises))
  const each = `${rises} ${rises === '1' ? 'rise' : 'rises'} each`
  const apart = reads.slice(1).map((read, k) => read.atMs - (reads[k]?.atMs ?? read.atMs))
  return apart.length === 0
    ? `One read: ${each.replace(' each', '')}.`
    : `The last ${reads.length}: ${each}, ${span(apart)} ms apart.`
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
