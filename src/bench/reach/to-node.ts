import type { Schedule, ScheduleNode } from '../../title/schedule.ts'

/** How a title comes to a node within its read. */
export interface ToNode {
  /** Which read of the frame, from 0. */
  readonly read: number
  /** The least time from the first node of the read. */
  readonly atNs: number
  /** The same, to the last edge up to it, or to the first node where there is none. */
  readonly edgeNs: number
  /** What is written there; `null` where the read has no edge up to it. */
  readonly edge: ScheduleNode['writes']
}

/** Worked out once for each node: it is asked for everything that a sample can meet. */
const KNOWN = new WeakMap<Schedule, Map<number, ToNode>>()

export function toNodeNs(schedule: Schedule, node: number): ToNode {
  let known = KNOWN.get(schedule)
  if (known === undefined) KNOWN.set(schedule, (known = new Map<number, ToNode>()))
  let there = known.get(node)
  if (there === undefined) known.set(node, (there = walkTo(schedule, node)))
  return there
}

function walkTo({ nodes }: Schedule, node: number): ToNode {
  let atNs = 0
  /** From the last edge to the node. */
  let sinceEdgeNs: number | null = null
  let edge: ScheduleNode['writes'] = null
  for (let k = node; ;) {
    const writes = nodes[k]?.writes ?? null
    if (sinceEdgeNs === null && writes !== null) {
      sinceEdgeNs = atNs
      edge = writes
    }
    if ((nodes[k]?.phase ?? 0) === 0) break
    const before = nodes.findLastIndex(({ next }, j) => j < k && next.some(({ to }) => to === k))
    if (before === -1) break
    atNs += nodes[before]?.next.find(({ to }) => to === k)?.lasts.minNs ?? 0
    k = before
  }
  return { read: nodes[node]?.readOfFrame ?? 0, atNs, edgeNs: atNs - (sinceEdgeNs ?? atNs), edge }
}
