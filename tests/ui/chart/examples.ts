import type { ReadSample, Reading } from '../../../src/bench/reading.ts'
import type { Level } from '../../../src/port/pins.ts'

/** A title that walks through `cycles` cycles, one sample a phase, from rest high or low. */
export function readingOf(cycles: number, rest: Level = 'high', guilty?: Reading['guilty']): Reading {
  const phaseNs = 2_600
  const afterEdgeNs = 1_700
  const phases = Array.from({ length: cycles }, (_, cycle) =>
    (['high', 'low'] as const).map((level) => ({ cycle, level })),
  ).flat()
  const met = rest === 'high' ? phases : phases.slice(1)
  const samples: ReadSample[] = met.map((phase, k) => ({
    ...phase,
    timeNs: k * phaseNs + afterEdgeNs,
    afterEdgeNs,
    columnFraction: 0.65,
  }))
  return {
    titleName: 'Copper Kite Rally',
    choices: [],
    samples,
    axis: { startNs: 0, endNs: met.length * phaseNs },
    ...(guilty ? { guilty } : {}),
  }
}
