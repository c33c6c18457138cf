import { cellWord } from '../port/input-texts.ts'
import { placeOfSample } from '../title/place-of-sample.ts'
import type { Detection, OpenSample } from '../title/possible.ts'
import type { Title } from '../title/schema.ts'
import { t } from './doubt-texts.ts'

/** What a title does with its samples, in words that stand after "if" and by themselves. */

/** "cycle 3 low". */
export function placeWords(title: Title, { at }: OpenSample): string {
  const { cycle, level } = placeOfSample(title, at)
  const mode = title.modes[at.mode]?.name
  const said = { cycle, level: cellWord(level) }
  return mode === undefined || title.modes.length === 1 ? t.place(said) : t.placeInMode({ ...said, mode })
}

/** "it detects six buttons by the identification". */
export function detectsWords(title: Title, detection: Detection): string {
  if (detection.kind !== 'told') return t.detects({ how: detection.kind })
  const by = detection.by.map(({ low, high }) =>
    low.length > 0 && high.length > 0 ? 'pins' : low.length > 0 ? 'identification' : 'end-mark',
  )
  const [how] = by
  return t.detects({ how: by.every((one) => one === how) ? (how ?? 'pins') : 'pins' })
}
