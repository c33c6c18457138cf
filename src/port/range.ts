/** Least and most of a time, both in whole ns and both included. */
export interface RangeNs {
  readonly minNs: number
  readonly maxNs: number
}

export const isSameRange = (one: RangeNs | null, other: RangeNs | null): boolean =>
  one?.minNs === other?.minNs && one?.maxNs === other?.maxNs
