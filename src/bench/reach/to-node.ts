import { scheduleOf } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'

/** Which read of the frame a node belongs to, from 0, and the least time from the first node of the read to it. */
export function toNodeNs(title: Title, node: number): { readonly read: number; readonly atNs: number } {
  const { nodes } = scheduleOf(title)
  const read = nodes[node]?.read ?? 0
  let atNs = 0
  for (let k = node; (nodes[k]?.phase ?? 0) > 0; k--) {
    const way = nodes[k - 1]?.next.find(({ to }) => to === k)
    atNs += way?.lasts.minNs ?? 0
  }
  return { read, atNs }
}
