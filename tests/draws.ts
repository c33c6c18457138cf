import fc from 'fast-check'

/**
 * Before each test file: with `NINEPIN_SEED` properties draw the same values in every run, so that a
 * failure repeats. Without it each run draws other values, and finds more over time.
 */
const seed = process.env['NINEPIN_SEED']
if (seed !== undefined) fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(seed) })
