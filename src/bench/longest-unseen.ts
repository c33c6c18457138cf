import type { Input } from '../port/pins.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { NodeSample, Schedule, ScheduleNode, Way } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'

/** The input that can go unseen for longest between two samples of it, and for how long at the most. */
export function longestUnseen(title: Title): { readonly input: Input; readonly ns: number } | null {
  const inputs = new Set(title.samples.flatMap(({ pins }) => Object.values(pins)))
  let worst: { readonly input: Input; readonly ns: number } | null = null
  for (const input of inputs) {
    const ns = unseenNs(scheduleOf(title), (use) =>
      Object.values(title.samples[use]?.pins ?? {}).includes(input),
    )
    if (worst === null || ns > worst.ns) worst = { input, ns }
  }
  return worst
}

/** The longest time between two samples that follow one another, of those that are for something. */
function unseenNs({ nodes }: Schedule, isFor: (use: number) => boolean): number {
  const sampleOf = ({ samples }: ScheduleNode): NodeSample | undefined =>
    samples.find(({ uses }) => uses.some(isFor))
  let longestNs = 0
  // The least time from the place of the read to the node.
  let sincePlaceNs = 0
  for (const node of nodes) {
    if (node.phase === 0) sincePlaceNs = 0
    const sample = sampleOf(node)
    if (sample)
      longestNs = Math.max(longestNs, toNextNs(nodes, node, sincePlaceNs, sampleOf) - sample.after.minNs)
    sincePlaceNs += wayFrom(node).lasts.minNs
  }
  return longestNs
}

/** The most time from a node to the next sample. @param sincePlaceNs the least from the place of its read to the node */
function toNextNs(
  nodes: readonly ScheduleNode[],
  from: ScheduleNode,
  sincePlaceNs: number,
  sampleOf: (node: ScheduleNode) => NodeSample | undefined,
): number {
  let placeNs = -sincePlaceNs
  let atNs = 0
  let node = from
  for (;;) {
    const way = wayFrom(node)
    node = nodes[way.to] as ScheduleNode
    if (way.kind === 'place') {
      placeNs += way.lasts.maxNs
      atNs = placeNs + way.late.maxNs
    } else {
      atNs += way.lasts.maxNs
      if (node.phase === 0) placeNs = atNs
    }
    const sample = sampleOf(node)
    if (sample) return atNs + sample.after.maxNs
  }
}

const wayFrom = ({ next }: ScheduleNode): Way => next[0] as Way
