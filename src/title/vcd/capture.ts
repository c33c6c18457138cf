/** A level as IEEE 1364 dumps it: low, high, unknown, not driven. */
export type VcdValue = '0' | '1' | 'x' | 'z'

export interface VcdChange {
  /** Whole nanoseconds on the file's own clock, rounded down. */
  readonly atNs: number
  readonly value: VcdValue
}

/** One wire, taken out of a dump. */
export interface Capture {
  /** Scopes and name as the file has them, with the bit where it gives one: `top.port.select`, `top.sel[0]`. */
  readonly signalPath: string
  /** In file order and never the same value twice in a row; several may share one nanosecond. */
  readonly changes: readonly VcdChange[]
  /** The first stamp, or 0 where the wire gets a value before it or no stamp comes. */
  readonly startNs: number
  /** The last stamp; 0 where there is none. */
  readonly endNs: number
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

/** Largest dump that is read: 256 MiB. */
export const MAX_VCD_BYTES = 256 * 1024 * 1024

/** Most changes of the wire that are kept: 2^23, which take about half a gigabyte of memory. */
export const MAX_VCD_CHANGES = 2 ** 23
