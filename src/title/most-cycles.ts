import { LONG_REST_NS } from './infer/odd-spans.ts'
import { latenessOf } from './reads-of-frame.ts'
import { edgesOf, restNs } from './rests.ts'
import type { Edges } from './rests.ts'
import { mostCyclesIn } from './sampling-step.ts'
import type { Title } from './schema.ts'
import { turnsOf } from './steps/turns.ts'

/**
 * The most cycles that a title can have made from one rest that no pad counts on through to the next, where its capture can have missed some; `null` where it has missed
 * none. What was counted in one mode can go on in the next.
 */
export function mostUnseenCycles(title: Title): number | null {
  const { leftOver } = title
  const sampledNs = leftOver?.sampledNs
  if (leftOver === undefined || sampledNs === undefined) return null
  if (leftOver.stretches.length > 0 || leftOver.more > 0) return Infinity
  return title.modes.reduce((sum, _, mode) => sum + mostCyclesOf(title, mode, sampledNs), 0)
}

function mostCyclesOf(title: Title, number: number, sampledNs: number): number {
  const mode = title.modes[number] as Title['modes'][number]
  const edges = mode.reads.map((read) => edgesOf(read, title.idle))
  const turns = turnsOf(title, mode, ['modes', number])
  const { minNs, maxNs } = latenessOf(title, number)
  const isCut = turns.turns.map(
    (_, k) => restNs(title, turns, k, edges) - (maxNs - minNs) - sampledNs >= LONG_REST_NS,
  )
  const from = isCut.indexOf(true) + 1
  if (from === 0) return Infinity
  let [most, sum] = [0, 0]
  isCut.forEach((_, k) => {
    const turn = (from + k) % isCut.length
    const { firstNs, lastNs } = edges[turns.turns[turn]?.number ?? 0] as Edges
    sum += mostCyclesIn(lastNs - firstNs, sampledNs)
    most = Math.max(most, sum)
    if (isCut[turn]) sum = 0
  })
  return most
}
