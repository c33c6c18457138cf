/** A time that a clock of `ppm` parts per million may shorten or lengthen: whole ns, rounded outwards. */

export const atLeastNs = (ns: number, ppm: number): number => Math.floor(ns - (ns * ppm) / 1e6)

export const atMostNs = (ns: number, ppm: number): number => Math.ceil(ns + (ns * ppm) / 1e6)
