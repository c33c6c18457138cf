import type { Judgement } from '../bench/judgement.ts'
import { inputList } from '../port/input-texts.ts'
import type { Input } from '../port/pins.ts'
import { outcomeTexts } from '../words/outcome-texts.ts'
import { pairTexts as t } from './output-texts.ts'

/** How a title reads a profile, as several commands tell it: the verdict in a column of its own. */

const VERDICT_WIDTH = 8

/** A line under a verdict. */
export const indented = (text: string): string => ' '.repeat(VERDICT_WIDTH) + text

/** The verdict on a title and a profile, and the reason for it. */
export const pairLines = (
  { verdict, reason }: Pick<Judgement, 'verdict' | 'reason'>,
  title: string,
  profile: string,
): string[] => [outcomeTexts[verdict].padEnd(VERDICT_WIDTH) + t.pair({ title, profile }), indented(reason)]

export const heldWords = (held: readonly Input[]): string =>
  held.length === 0 ? t.nothingHeld : t.held({ inputs: inputList(held) })
