import { createHash } from 'node:crypto'
import type { Chip } from '../../../src/adapter/emulator/chip.ts'
import { REG } from './pio-bench.ts'

/** What can be seen of a chip, from outside and inside. */
export function seenOf(chip: Chip): unknown {
  const { core, fabric, clock } = chip.mcu
  return {
    edges: chip.edges,
    nowNs: chip.nowNs,
    chipNs: clock.nanos,
    registers: [...core.registers],
    asleep: core.waiting,
    machines: [fabric.pio0, fabric.pio1].map((block) => block.readUint32(REG.SM0_ADDR)),
    memory: createHash('sha256').update(chip.mcu.sram).digest('hex'),
  }
}
