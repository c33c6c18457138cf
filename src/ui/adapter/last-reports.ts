import type { LastActivity } from '../../adapter/pad-history.ts'
import { historyTexts as t } from './adapter-texts.ts'
import { listWords } from '../../words/lists.ts'
import { controlsIn } from '../../pad/controls.ts'
import type { ControlMask } from '../../pad/controls.ts'
import { bytesWord } from '../../words/hexadecimal.ts'
import { HeldReader } from '../../pad/hold.ts'
import type { StickPair } from '../../pad/hold.ts'
import type { Layout } from '../../pad/layout/schema.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'

export interface ReportRow {
  readonly atMs: number
  readonly bytes: string
  /** What a layout makes of it; `null` without a layout. */
  readonly held: string | null
}

/** The last reports, oldest first, with what a layout makes of them one after the other. */
export function reportRows(
  { reports }: LastActivity,
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
  listWords(controlsIn(mask).map((control) => CONTROL_WORDS[control])) || t.nothing
