import { texts } from '../words/texts.ts'
import type { Title } from './schema.ts'

const t = texts('title-modes', {
  named: '“{name}”',
  numbered: 'mode {n}',
})
/** @public for the type of a translation */
export { t as modeTexts }

/** A mode of a title within a sentence; `null` where the title has no other. @param mode from 0 */
export function modeWords({ modes }: Title, mode: number): string | null {
  if (modes.length === 1) return null
  const name = modes[mode]?.name
  return name === undefined ? t.numbered({ n: mode + 1 }) : t.named({ name })
}
