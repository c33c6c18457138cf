import type { Input } from '../port/pins.ts'
import { phaseOf } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import type { Box } from './box.ts'

/** The input that can go unseen for longest between two samples of it, and for how long at the most. */
export function longestUnseen(title: Title, box: Box): { readonly input: Input; readonly ns: number } | null {
  const inputs = new Set(title.samples.flatMap(({ pins }) => Object.values(pins)))
  let worst: { readonly input: Input; readonly ns: number } | null = null
  for (const input of inputs) {
    const ns = unseenNs(title, box, input)
    if (worst === null || ns > worst.ns) worst = { input, ns }
  }
  return worst
}

/** The longest time between two samples of an input that follow one another. */
function unseenNs(
  { samples }: Title,
  { toNextRead, readStart, edgeSpacing, sample }: Box,
  input: Input,
): number {
  const phases = samples
    .filter(({ pins }) => Object.values(pins).includes(input))
    .map(phaseOf)
    .sort((p, q) => p - q)
  const first = phases[0] as number
  const last = phases[phases.length - 1] as number
  const spreadNs = sample.maxNs - sample.minNs
  const within = phases
    .slice(1)
    .map((phase, k) => (phase - (phases[k] as number)) * edgeSpacing.maxNs + spreadNs)
  const between = toNextRead.map(
    ({ maxNs }) =>
      maxNs +
      readStart.maxNs -
      readStart.minNs +
      first * edgeSpacing.maxNs -
      last * edgeSpacing.minNs +
      spreadNs,
  )
  return Math.max(...within, ...between)
}
