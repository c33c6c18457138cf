import { inputList } from '../port/input-texts.ts'
import { inputsIn } from '../port/pins.ts'
import { AXES } from '../profile/opposite.ts'
import type { Profile } from '../profile/schema.ts'
import { EXTRA_AFTER_RISES, IN_ONE_GO_NS } from '../title/in-one-go.ts'
import { PROGRAM_NS } from '../title/infer/short-pulses.ts'
import type { Stretch } from '../title/left-over.ts'
import { mostUnseenCycles } from '../title/most-cycles.ts'
import type { Title } from '../title/schema.ts'
import { t } from './doubt-texts.ts'
import type { Doubt } from './judgement.ts'

/**
 * What captures show and no read explains, or hide, can be where a title reads its extra buttons. It takes directions for X, Y, Z and Mode there if it takes
 * six buttons for granted, and if it asks for them where Up and Down at once look like the identification (port-facts: pins 1 to 4 low; 3 and 4 are low in
 * every low phase of a pad with three buttons). Nothing where somebody has said how six buttons are told.
 */
export function asksSixDoubts({ opposite }: Pick<Profile, 'opposite'>, title: Title): Doubt[] {
  const { sixButtons, leftOver } = title
  if (leftOver === undefined || sixButtons.source?.kind !== 'guessed') return []
  const { stretches, more, sampledNs } = leftOver
  const doubt = (condition: string, reason: string): Doubt => ({
    assumes: { kind: 'asks-six' },
    condition,
    reason,
    example: null,
  })
  const seen = stretches
    .filter((stretch) => reachesExtra(stretch, sampledNs ?? 0))
    .reduce((sum, { seen }) => sum + seen, 0)
  const shown = seen > 0 ? [doubt(t.extraInLeftOver({ n: seen }), t.directionsThere)] : []
  const isUnseen = more > 0 || (mostUnseenCycles(title) ?? 0) >= EXTRA_AFTER_RISES
  if (!isUnseen || opposite.vertical !== 'as-held') return shown
  const [up, down] = AXES.vertical
  return [...shown, doubt(t.asksSix, t.looksLikeSix({ inputs: inputList(inputsIn(up | down)) }))]
}

/**
 * Whether a program can read extra buttons in a phase that it makes of these edges. What a disturbance adds to the count is there now and then, and no title
 * samples there for that.
 */
function reachesExtra({ startLevel, edgesNs }: Stretch, sampledNs: number): boolean {
  const madeNs = madeByProgram(edgesNs, sampledNs)
  let isHigh = startLevel === 'high'
  let rises = 0
  return madeNs.some((atNs, k) => {
    if (k > 0 && atNs - (madeNs[k - 1] as number) > IN_ONE_GO_NS) rises = 0
    isHigh = !isHigh
    if (isHigh) rises++
    return rises === EXTRA_AFTER_RISES
  })
}

/** Edges without the pulses that are shorter than a program makes them; two samples see one by up to one sample too long. */
function madeByProgram(edgesNs: readonly number[], sampledNs: number): number[] {
  const kept: number[] = []
  for (const atNs of edgesNs) {
    const before = kept.at(-1)
    if (before !== undefined && atNs - before < PROGRAM_NS - sampledNs) kept.pop()
    else kept.push(atNs)
  }
  return kept
}
