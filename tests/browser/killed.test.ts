import { it } from 'vitest'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM } from './browser.ts'
import { killAndLook } from './killed.ts'

/** `npm run test:long` kills it 200 times. */
const TIMES = process.env['NINEPIN_LONG'] ? 200 : 6

describeWith('a browser that is killed', [CHROMIUM], () => {
  app.comesAndGoes()

  it(`loses nothing that was called kept, ${TIMES} times`, { timeout: 60_000 + TIMES * 15_000 }, async () => {
    const seed = Date.now() % 1_000_000
    console.info(`seed ${seed}`)
    await killAndLook(app.address, TIMES, seed)
  })
})
