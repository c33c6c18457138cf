import type { VcdValue } from './capture.ts'
import { codeAt } from './code.ts'

/** A level that is written; nothing of ours floats. */
export type WireValue = Exclude<VcdValue, 'z'>

export interface WireChange<Name extends string> {
  readonly atNs: number
  readonly signal: Name
  readonly value: WireValue
}

/** One-bit wires in one module, on a clock of 1 ns. */
export interface Dump<Name extends string> {
  readonly module: string
  /** In the order of their declaration. */
  readonly signals: readonly Name[]
  /** What stands at 0 ns, before the changes. */
  readonly initial: Readonly<Record<Name, WireValue>>
  /** From 0 to `endNs`, in order of time; what changes nothing is left out. */
  readonly changes: Iterable<WireChange<Name>>
  /** The last stamp, even if nothing changes there. */
  readonly endNs: number
}

/**
 * Writes a four-state value change dump (source: IEEE 1364-2005, clause 18). The same dump gives the same text, so no
 * time of day is in it.
 *
 * @throws RangeError when a name has a blank, or a time is no whole nanosecond, goes back or passes the end
 */
export function writeVcd<Name extends string>(dump: Dump<Name>): string {
  const { module, signals, initial, changes, endNs } = dump
  const codes = new Map(signals.map((signal, index) => [signal, codeAt(index)]))
  const levels = new Map<Name, WireValue>(signals.map((signal) => [signal, initial[signal]]))
  const changeLine = (signal: Name): string => `${levels.get(signal)}${codes.get(signal)}`

  const lines = [
    '$date not recorded, so that equal input gives equal files $end',
    '$version ninepin $end',
    '$timescale 1 ns $end',
    `$scope module ${plain(module)} $end`,
    ...signals.map((signal) => `$var wire 1 ${codes.get(signal)} ${plain(signal)} $end`),
    '$upscope $end',
    '$enddefinitions $end',
    '#0',
    '$dumpvars',
    ...signals.map(changeLine),
    '$end',
  ]
  let nowNs = 0
  const moveTo = (atNs: number): void => {
    if (!Number.isSafeInteger(atNs) || atNs < nowNs) {
      throw new RangeError(`a change at ${atNs} ns after ${nowNs} ns in a dump that ends at ${endNs} ns`)
    }
    if (atNs > nowNs) lines.push(`#${atNs}`)
    nowNs = atNs
  }
  for (const { atNs, signal, value } of changes) {
    if (levels.get(signal) === value) continue
    moveTo(atNs)
    levels.set(signal, value)
    lines.push(changeLine(signal))
  }
  moveTo(endNs)
  lines.push('')
  return lines.join('\n')
}

function plain(name: string): string {
  if (!/^[!-~]+$/.test(name)) throw new RangeError(`"${name}" cannot be a name in a dump`)
  return name
}
