import { greatestCommonStep, isOnStep, ODD_RATES_HZ } from '../sampling-step.ts'
import type { SelectLine } from '../select-line.ts'
import type { DataLine } from './data-lines.ts'

/** More rates at which samples lie at no whole ns, in Hz: they are common, no source. Steps under 5 ns cannot be told from whole ns. */
const FINE_RATES_HZ = [60e6, 80e6, 120e6, 150e6, 160e6]

/**
 * How exactly the times of a capture are known, in whole ns: its sampling step, also one so short that it hides no edge. Times are whole ns, so it is
 * never less than one. Where the times are few and lie on a common step by chance, they are taken to be known less well than they are.
 */
export function timeStepNs(select: SelectLine, lines: readonly DataLine[]): number {
  const columns = [select, ...lines].map(({ timesNs }) => timesNs)
  const originNs = columns.find(({ length }) => length > 1)?.[1]
  const sampledNs = Math.ceil(select.sampledNs ?? 1)
  if (originNs === undefined) return sampledNs
  let stepNs = 0
  for (const column of columns)
    for (let k = 1; k < column.length && stepNs !== 1; k++)
      stepNs = greatestCommonStep(Math.abs(Math.round((column[k] as number) - originNs)), stepNs)
  const odd = [...ODD_RATES_HZ, ...FINE_RATES_HZ]
    .map((hz) => 1e9 / hz)
    .filter((ns) => columns.every((column) => isOnStep(column, ns)))
  // All lines of an analyser are sampled at once: where data lines are not on the step of select, a program keeps to it by itself.
  const isSampled =
    select.sampledNs !== null &&
    (Number.isInteger(select.sampledNs)
      ? stepNs % select.sampledNs === 0
      : columns.every((column) => isOnStep(column, select.sampledNs as number)))
  return Math.max(isSampled ? sampledNs : 1, stepNs, ...odd.map(Math.ceil))
}
