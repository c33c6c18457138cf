/** Levels as IEEE 1364 dumps them: low, high, unknown, not driven. A value in a column is an index into this list. */
export const VCD_VALUES = ['0', '1', 'x', 'z'] as const
export type VcdValue = (typeof VCD_VALUES)[number]

/**
 * Takes the changes of the wire as they are read, a block at a time: when, in whole nanoseconds on the file's own clock, rounded
 * down, and an index into {@link VCD_VALUES}. Both columns are as long as the block and hold only during the call.
 */
export type ChangeSink = (timesNs: Float64Array, values: Uint8Array) => void

/** What a dump says of one wire, beside its changes. */
export interface CaptureSpan {
  /** Scopes and name as the file has them, with the bit where it gives one: `top.port.select`, `top.sel[0]`. */
  readonly signalPath: string
  /** The first stamp, or 0 where the wire gets a value before it or no stamp comes. */
  readonly startNs: number
  /** The last stamp; 0 where there is none. */
  readonly endNs: number
}

/**
 * One wire, taken out of a dump, with its changes in two columns of the same length: as for {@link ChangeSink}, in file order and
 * never the same value twice in a row; several may share one nanosecond.
 */
export interface Capture extends CaptureSpan {
  readonly timesNs: Float64Array
  readonly values: Uint8Array
}

/** Why a dump was refused. */
export interface VcdFault {
  /** Counted from 1. */
  readonly line: number
  /** One sentence. */
  readonly message: string
}

/** What is wrong with the word at hand, if anything is; whoever scans the words knows the line. */
export type Complaint = string | undefined

/** Most changes that a capture keeps: 2^25, which take 300 MB of memory, and twice that while they are gathered. */
export const MAX_VCD_CHANGES = 2 ** 25
