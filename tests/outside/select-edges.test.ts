import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { PEERS, measureOurs, measurePeer } from '../speed/select-edges.ts'
import { describeWith } from '../tools.ts'

/**
 * The pads that the bench runs beside ours see the same pins after every edge. Sources: Icarus Verilog and Verilator; the pad
 * itself is common practice, no source (port table in DEVELOPERS.md).
 */

const root = fileURLToPath(new URL('../..', import.meta.url))
/** Compiling a pad takes its time on a busy machine. */
const PATIENCE_MS = 300_000
const load = { edges: 200_000, runs: 1 }

for (const peer of PEERS)
  describeWith(`the reply to select edges, as ${peer.name} has it`, peer.tools, () => {
    it(
      `shows the same pins after ${load.edges} edges`,
      async () => {
        const ours = await measureOurs(load)
        expect(measurePeer(peer, load, root).checksum).toBe(ours.checksum)
      },
      PATIENCE_MS,
    )
  })
