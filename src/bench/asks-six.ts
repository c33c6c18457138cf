import { inputList } from '../port/input-texts.ts'
import { inputsIn } from '../port/pins.ts'
import { AXES } from '../profile/opposite.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { t } from './doubt-texts.ts'
import type { Doubt } from './judgement.ts'

/**
 * A title can ask for six buttons in a phase that its edges do not show. Where a pad has none, Up and Down at once look like the identification there (port-facts:
 * pins 1 to 4 low; 3 and 4 are low in every low phase), and the title takes directions for X, Y, Z and Mode. Nothing where a profile does not let
 * both through, or where somebody has said how six buttons are told.
 */
export function asksSixDoubts(
  { opposite }: Pick<Profile, 'opposite'>,
  { sixButtons, leftOver }: Title,
): Doubt[] {
  const isHidden = leftOver !== undefined && (leftOver.more > 0 || leftOver.sampledNs !== undefined)
  if (opposite.vertical !== 'as-held' || sixButtons.source?.kind !== 'guessed' || !isHidden) return []
  const [up, down] = AXES.vertical
  const inputs = inputList(inputsIn(up | down))
  return [
    {
      assumes: { kind: 'asks-six' },
      condition: t.asksSix,
      reason: t.looksLikeSix({ inputs }),
      example: null,
    },
  ]
}
