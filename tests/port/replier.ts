import { phaseAt, pinsOf } from '../../src/port/chart.ts'
import type { Chart } from '../../src/port/chart.ts'
import type { Replier } from '../../src/port/engine.ts'
import type { InputMask, Level, PinBits } from '../../src/port/pins.ts'

/** A chart with some inputs held: the smallest thing that can stand behind the port. */
export class ChartReplier implements Replier {
  held: InputMask = 0
  reads = 0

  constructor(
    private readonly chart: Chart,
    readonly idleResetNs = 1_500_000,
    readonly delayNs = 0,
  ) {}

  pinsAt(rises: number, level: Level): PinBits {
    return pinsOf(phaseAt(this.chart, rises, level), this.held)
  }

  readEnded(): void {
    this.reads += 1
  }
}
