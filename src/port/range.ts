/** Least and most of a time, both in whole ns and both included. */
export interface RangeNs {
  readonly minNs: number
  readonly maxNs: number
}
