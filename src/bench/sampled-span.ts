import type { Input } from '../port/pins.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'

/** The longest time, in ns, from the first to the last sample of these inputs within one read; 0 where no read samples them at two instants. */
export function sampledSpan(title: Title, inputs: readonly Input[]): number {
  const { nodes, samples } = scheduleOf(title)
  const isOf = (use: number): boolean =>
    Object.values(samples[use]?.pins ?? {}).some((input) => inputs.includes(input))
  let longestNs = 0
  let read = -1
  /** From the first node of the read to a node, at the most; and the least time to the first sample, taken from it. */
  let atNs = new Map<number, number>()
  let first: { readonly atNs: number; readonly earlierNs: number } | null = null
  nodes.forEach((node, k) => {
    if (node.read !== read) [read, atNs, first] = [node.read, new Map([[k, 0]]), null]
    const here = atNs.get(k) ?? 0
    for (const { uses, after } of node.samples) {
      if (!uses.some(isOf)) continue
      if (first === null) first = { atNs: here, earlierNs: after.minNs }
      else longestNs = Math.max(longestNs, here - first.atNs + after.maxNs - first.earlierNs)
    }
    for (const way of node.next)
      if (way.kind === 'gap' && nodes[way.to]?.read === read) {
        const lasts = Math.max(way.lasts.maxNs, way.stretched?.maxNs ?? 0)
        atNs.set(way.to, Math.max(atNs.get(way.to) ?? 0, here + lasts))
      }
  })
  return longestNs
}
