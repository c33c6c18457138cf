import fc from 'fast-check'

/**
 * Before each test file: with `NINEPIN_SEED` properties draw the same values in every run, so that a run says something about the
 * code and nothing about the dice. Without it each run draws anew, and finds more over time.
 */
const seed = process.env['NINEPIN_SEED']
if (seed !== undefined) fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(seed) })
