/* eslint-disable texts/in-script -- what stands in a file is not translated */
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

/** About how long a piece is, in characters. */
const PIECE_LENGTH = 2 ** 16

/**
 * Writes a four-state value change dump (source: IEEE 1364-2005, clause 18), a piece at a time. The same dump gives the same text,
 * so no time of day is in it.
 *
 * @throws RangeError when a name has a blank, or a time is no whole nanosecond, goes back or passes the end
 */
export function* vcdPieces<Name extends string>(dump: Dump<Name>): Generator<string, void> {
  const { module, signals, initial, changes, endNs } = dump
  const codes = new Map(signals.map((signal, index) => [signal, codeAt(index)]))
  const levels = new Map<Name, WireValue>(signals.map((signal) => [signal, initial[signal]]))
  const changeLine = (signal: Name): string => `${levels.get(signal)}${codes.get(signal)}\n`

  let piece = [
    '$date not recorded, so that equal input gives equal files $end\n',
    '$version ninepin $end\n',
    '$timescale 1 ns $end\n',
    `$scope module ${plain(module)} $end\n`,
    ...signals.map((signal) => `$var wire 1 ${codes.get(signal)} ${plain(signal)} $end\n`),
    '$upscope $end\n',
    '$enddefinitions $end\n',
    '#0\n',
    '$dumpvars\n',
    ...signals.map(changeLine),
    '$end\n',
  ].join('')
  let nowNs = 0
  const stampOf = (atNs: number): string => {
    if (!Number.isSafeInteger(atNs) || atNs < nowNs) {
      throw new RangeError(`a change at ${atNs} ns after ${nowNs} ns in a dump that ends at ${endNs} ns`)
    }
    const stamp = atNs > nowNs ? `#${atNs}\n` : ''
    nowNs = atNs
    return stamp
  }
  for (const { atNs, signal, value } of changes) {
    if (levels.get(signal) === value) continue
    levels.set(signal, value)
    piece += stampOf(atNs) + changeLine(signal)
    if (piece.length < PIECE_LENGTH) continue
    yield piece
    piece = ''
  }
  yield piece + stampOf(endNs)
}

/** All of {@link vcdPieces} as one text. */
export const writeVcd = <Name extends string>(dump: Dump<Name>): string => [...vcdPieces(dump)].join('')

function plain(name: string): string {
  if (!/^[!-~]+$/.test(name)) throw new RangeError(`"${name}" cannot be a name in a dump`)
  return name
}
