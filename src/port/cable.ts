import type { RangeNs } from './range.ts'

/** What joins the adapter's connector to the console's: a plug, 0.1 m at most; a cable of 1.5 m; nobody knows. */
export const CABLES = ['short', 'long', 'unknown'] as const
export type Cable = (typeof CABLES)[number]

const SHORT: RangeNs = { minNs: 0, maxNs: 9 + 1 }
const LONG: RangeNs = { minNs: 10, maxNs: 58 + 20 }

/**
 * What a cable adds to a reply, in ns: the way of select to the adapter and that of the pins back to the console.
 *
 * The most is the time in which a data line falls to 0.8 V behind a 20 Ω driver and 150 Ω in series, with 15 pF and 10 kΩ at the far
 * end; in the long cable that of 100 pF/m, the slower of two kinds. Select on its way to the adapter takes 1 ns more in a plug, and 20
 * ns more in the long cable with the Schmitt input behind it (simulated with ngspice, and again in `tests/outside`). A board is to have 100 to 150 Ω, of which 150 Ω is the slower; with 330 Ω the long cable would take
 * 109 ns. The least is none in a plug, and in the long cable twice 1.5 m at the speed of light in a vacuum: how soon a console takes
 * a line for changed is not known.
 */
export const CABLE_NS: Readonly<Record<Cable, RangeNs>> = {
  short: SHORT,
  long: LONG,
  unknown: {
    minNs: Math.min(SHORT.minNs, LONG.minNs),
    maxNs: Math.max(SHORT.maxNs, LONG.maxNs),
  },
}
