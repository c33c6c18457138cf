import type { Input } from '../port/pins.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { NodeSample, Schedule, ScheduleNode, Way } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'

/**
 * The input that can go unseen for longest between two samples of it, and for how long at the most, as long as the title stays in one mode; `null`
 * where it comes by no sample twice. A mode that comes once, and one that does not sample an input, say nothing of it.
 */
export function longestUnseen(title: Title): { readonly input: Input; readonly ns: number } | null {
  const schedule = scheduleOf(title)
  const { samples } = schedule
  const inputs = new Set(samples.flatMap(({ pins }) => Object.values(pins)))
  let worst: { readonly input: Input; readonly ns: number } | null = null
  for (const input of inputs) {
    const ns = unseenNs(schedule, (use) => Object.values(samples[use]?.pins ?? {}).includes(input))
    if (ns > 0 && (worst === null || ns > worst.ns)) worst = { input, ns }
  }
  return worst
}

/** The longest time between two samples that follow one another, of those that are for something; 0 where there are none. */
function unseenNs({ nodes }: Schedule, isFor: (use: number) => boolean): number {
  const samplesOf = ({ samples }: ScheduleNode): NodeSample[] =>
    samples.filter(({ uses }) => uses.some(isFor))
  let longestNs = 0
  // The least time from the place of the read to the node.
  let sincePlaceNs = 0
  for (const node of nodes) {
    if (node.phase === 0) sincePlaceNs = 0
    const here = samplesOf(node)
    here.forEach(({ after }, k) => {
      const next = here[k + 1]
      const ns = next ? next.after.maxNs : toNextNs(nodes, node, sincePlaceNs, samplesOf)
      if (ns !== null) longestNs = Math.max(longestNs, ns - after.minNs)
    })
    sincePlaceNs += wayOn(nodes, node)?.lasts.minNs ?? 0
  }
  return longestNs
}

/** The most time from a node to the next sample; `null` where none comes. @param sincePlaceNs the least from the place of its read to the node */
function toNextNs(
  nodes: readonly ScheduleNode[],
  from: ScheduleNode,
  sincePlaceNs: number,
  samplesOf: (node: ScheduleNode) => readonly NodeSample[],
): number | null {
  let placeNs = -sincePlaceNs
  let atNs = 0
  let node = from
  let stretches = node.stretches ?? 1
  for (let step = 0; step <= nodes.length; step++) {
    const way = wayOn(nodes, node)
    if (way === null) return null
    node = nodes[way.to] as ScheduleNode
    if (way.kind === 'place') {
      placeNs += way.lasts.maxNs
      atNs = placeNs + way.late.maxNs
    } else {
      const isStretched = way.stretched !== null && stretches > 0
      if (isStretched) stretches--
      atNs += Math.max(way.lasts.maxNs, isStretched ? (way.stretched?.maxNs ?? 0) : 0)
      if (node.phase === 0) placeNs = atNs
    }
    if (node.phase === 0) stretches = node.stretches ?? 1
    const [sample] = samplesOf(node)
    if (sample) return atNs + sample.after.maxNs
  }
  return null
}

/** The way on that stays in the mode of a node; `null` where it only leads to others. */
const wayOn = (nodes: readonly ScheduleNode[], { mode, next }: ScheduleNode): Way | null =>
  next.find(({ to }) => nodes[to]?.mode === mode) ?? null
