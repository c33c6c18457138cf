import type { Chip } from './chip.ts'
import type { Measured, Stimulus } from './worker-messages.ts'

/** Longer than any idle reset that a profile may ask for: the counter is at rest afterwards. */
const SETTLE_NS = 110_000_000

/** Plays select to the chip and looks at its pins with the logic analyser; the chip's time runs ahead meanwhile. */
export function measure(chip: Chip, { rest, edges, endNs }: Stimulus): Measured {
  chip.setSelect(rest)
  chip.runFor(SETTLE_NS)
  chip.clearEdges()
  const startNs = chip.nowNs
  const start = chip.de9
  for (const { atNs, level } of edges) {
    chip.runTo(startNs + atNs)
    chip.setSelect(level)
  }
  chip.runTo(startNs + endNs)
  return { start, changes: chip.edges.map(({ atNs, pins }) => ({ atNs: atNs - startNs, pins })) }
}
