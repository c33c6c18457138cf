import { masterHz } from '../../src/port/clocks.ts'
import type { VideoStandard } from '../../src/port/clocks.ts'

/** Master clocks in one CPU clock (from memory). */
const MASTER_PER_CPU = 7

export const cpuHz = (standard: VideoStandard): number => masterHz(standard) / MASTER_PER_CPU

/** Length of `cycles` CPU cycles in whole nanoseconds (nearest). */
export const cpuCyclesNs = (standard: VideoStandard, cycles: number): number =>
  Math.round((cycles * 1e9) / cpuHz(standard))
