import fc from 'fast-check'

/**
 * Before each test file: with `NINEPIN_SEED` properties draw the same values in every run, so that a
 * failure repeats. Without it each run draws other values, and finds more over time.
 */
const seed = process.env['NINEPIN_SEED']
if (seed !== undefined) fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(seed) })

/** Which share of its draws a property takes: a part while somebody works (`npm test`), all of them in CI and in the proofs. */
const SHARE = Number(process.env['NINEPIN_DRAWS'] ?? 1)

/** How many draws a property takes in this run. */
export const draws = (inAll: number): number => Math.ceil(inAll * SHARE)

/** How often something has to be seen among them. Of a part half as often is enough, since what is rare comes unevenly. */
export const often = (amongAll: number): number => (SHARE < 1 ? Math.floor((amongAll * SHARE) / 2) : amongAll)
