import fc from 'fast-check'
import { INPUTS } from '../../src/port/pins.ts'
import type { Chart } from '../../src/port/chart.ts'
import { SWEEP_LIMITS, mostLatePhases, phasesIn, rowsOf } from '../../src/profile/sweep.ts'
import type { Sweep } from '../../src/profile/sweep.ts'

const { cycleNs, minLateNs, maxLateNs, maxSteps, stepMs, maxMs } = SWEEP_LIMITS
const tens = fc.integer({ min: 1, max: maxMs / stepMs }).map((k) => k * stepMs)

/** Any sweep that an image with this chart can carry; `null` where its reply table has no room for one. */
export function arbSweep(chart: Chart): fc.Arbitrary<Sweep | null> {
  const rows = rowsOf(chart)
  const most = mostLatePhases(rows)
  if (most < 1) return fc.constant(null)
  const every = phasesIn((1 << (2 * rows)) - 1)
  return fc
    .record({
      input: fc.constantFrom(...INPUTS),
      phases: fc.subarray(every, { minLength: 1, maxLength: most }),
      first: fc.integer({ min: minLateNs / cycleNs, max: maxLateNs / cycleNs }),
      step: fc.integer({ min: 1, max: maxLateNs / cycleNs }),
      steps: fc.integer({ min: 1, max: maxSteps }),
      onMs: tens,
      offMs: tens,
    })
    .map(({ first, step, steps, ...rest }) => ({
      ...rest,
      firstNs: first * cycleNs,
      stepNs: step * cycleNs,
      steps: Math.min(steps, 1 + Math.floor((maxLateNs / cycleNs - first) / step)),
    }))
}
