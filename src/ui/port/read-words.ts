import type { ReadChoice } from '../../bench/reading.ts'
import type { ReadPlace } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { readTexts as t } from './port-texts.ts'

/** Which read of a title it is: "In play", "In play, read 2", "Read 2". @param choices all reads that can be drawn */
export function readName(
  { modes }: Title,
  choices: readonly ReadChoice[],
  { mode, read }: ReadPlace,
): string {
  const n = read + 1
  if (modes.length === 1) return t.read({ n })
  const name = modes[mode]?.name ?? t.mode({ n: mode + 1 })
  const isOnly = choices.filter(({ place }) => place.mode === mode).length === 1
  return isOnly ? name : t.readOfMode({ mode: name, n })
}
