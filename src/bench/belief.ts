import type { Phase } from '../port/chart.ts'
import { inputBit } from '../port/pins.ts'
import type { InputMask } from '../port/pins.ts'
import type { Title } from '../title/schema.ts'

/** What must be held for a title to believe in six buttons: a set of inputs (0: nothing, it always does), or never. */
export type Belief = InputMask | 'never'

/** What a title concludes from what its identification meets. @param met `null`: there was none in this read */
export function beliefFrom({ sixButtons }: Pick<Title, 'sixButtons'>, met: Phase | null): Belief {
  if (sixButtons.kind === 'assumed') return 0
  if (sixButtons.kind === 'never' || met === null) return 'never'
  let needed: InputMask = 0
  for (const pin of sixButtons.lowPins) {
    const cell = met[pin]
    if (cell === 'high') return 'never'
    if (cell !== 'low') needed |= inputBit(cell)
  }
  return needed
}

/** Whether a title believes in six buttons while exactly these inputs are on the port. */
export const believes = (belief: Belief, held: InputMask): boolean =>
  belief !== 'never' && (held & belief) === belief
