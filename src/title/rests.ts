import { frameNs } from '../port/clocks.ts'
import type { Read, Title } from './schema.ts'
import type { ModeTurns, Turn } from './steps/turns.ts'
import { writeOut } from './steps/write-out.ts'

/** Where the edges of a read lie. */
export interface Edges {
  /** From the start of the read to its first edge at the soonest, and to its last one at the latest. */
  readonly firstNs: number
  readonly lastNs: number
  readonly rises: number
}

export function edgesOf(read: Read, idle: Title['idle']): Edges {
  let [firstNs, leastNs, leastEdgeNs]: [number | null, number, number] = [null, 0, 0]
  let [mostNs, mostEdgeNs] = [0, 0]
  let level = idle
  let rises = 0
  for (const { step } of writeOut(read, [])) {
    leastNs = (step.since === 'edge' ? leastEdgeNs : leastNs) + step.after.minNs
    mostNs = (step.since === 'edge' ? mostEdgeNs : mostNs) + step.after.maxNs
    if (!('select' in step)) continue
    leastEdgeNs = leastNs
    mostEdgeNs = mostNs
    firstNs ??= leastNs
    const next = step.select === 'low' ? 'low' : 'high'
    if (next === 'high' && level === 'low') rises++
    level = next
  }
  return { firstNs: firstNs ?? 0, lastNs: mostEdgeNs, rises }
}

/** The shortest from the last edge of a turn to the first one of the next, where both are as late after their places. */
export function restNs(
  { standard }: Title,
  { turns, frames }: ModeTurns,
  k: number,
  edges: readonly Edges[],
): number {
  const frame = frameNs(standard)
  const turn = turns[k] as Turn
  const next = turns[(k + 1) % turns.length] as Turn
  const roundNs = k + 1 < turns.length ? 0 : frames * frame
  const { firstNs } = edges[next.number] as Edges
  if (next.starts.kind === 'interval') return next.starts.after.minNs + firstNs
  const placeNs = (of: Turn): number => of.frame * frame + of.offsetNs
  return roundNs + placeNs(next) - placeNs(turn) + firstNs - (edges[turn.number] as Edges).lastNs
}
