import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium } from 'playwright-core'
import type { BrowserContext } from 'playwright-core'
import { expect } from 'vitest'
import { readEntry } from '../../src/shelf/entry.ts'
import { t } from '../../src/ui/app-texts.ts'
import { findTool } from '../tools.ts'
import { BROWSER_ARGUMENTS, CHROMIUM, blockValue } from './browser.ts'
import { USED_DESK, WORK, WORK_KEY, besideApp, putRecords, recordsIn } from './stored.ts'

/**
 * A user who types without a pause, and a browser that is killed at a random instant, again and again. What the page had called kept
 * must be there at the next visit, and no revision may have gone down.
 */
export async function killAndLook(address: string, times: number, seed: number): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-killed-'))
  let random = seed
  const nextMs = (most: number) => {
    random = (Math.imul(random, 1_103_515_245) + 12_345) >>> 0
    return random % most
  }
  try {
    const first = await open(folder)
    const work = { ...WORK, document: { ...WORK.document, notes: '0' } }
    await putRecords(await besideApp(first.context, address), { [WORK_KEY]: work, desk: USED_DESK })
    await first.kill()
    let kept = { revision: work.revision, typed: 0 }
    let typed = 0
    for (let k = 1; k <= times; k++) {
      const { context, kill } = await open(folder)
      const beside = await besideApp(context, address)
      const record = readEntry((await recordsIn(beside))[WORK_KEY])
      if (!record.ok || record.value.kind !== 'profile') throw new Error(`kill ${k}: the work is not there`)
      const { revision, document } = record.value
      expect(revision, `kill ${k}`).toBeGreaterThanOrEqual(kept.revision)
      expect(Number(document.notes), `kill ${k}`).toBeGreaterThanOrEqual(kept.typed)
      const page = await context.newPage()
      await page.goto(`${address}#profile`)
      const notes = page.getByRole('textbox', { name: 'Notes' })
      await notes.waitFor()
      const endMs = performance.now() + nextMs(700)
      while (performance.now() < endMs) {
        typed++
        await notes.fill(String(typed))
        if ((await page.getByText(t.saved).count()) > 0) {
          kept = { revision: Number(await blockValue(page, 'revision')), typed }
        }
      }
      if (k === 1 && kept.typed === 0) {
        // A slow machine may be killed before it has saved anything; then there would be nothing to lose.
        await page.getByText(t.saved).waitFor()
        kept = { revision: Number(await blockValue(page, 'revision')), typed }
      }
      await kill()
    }
    expect(kept.typed, 'nothing was ever said to be saved').toBeGreaterThan(0)
  } finally {
    rmSync(folder, { recursive: true, force: true, maxRetries: 20, retryDelay: 100 })
  }
}

interface Running {
  readonly context: BrowserContext
  /** Takes the browser down without a word to it. */
  kill(): Promise<void>
}

/** A browser that keeps its profile in a folder, and its process. */
async function open(folder: string): Promise<Running> {
  // A killed browser cannot take back its mark of being the only one.
  for (const mark of ['SingletonLock', 'SingletonCookie', 'SingletonSocket']) {
    rmSync(join(folder, mark), { force: true })
  }
  const browser = spawn(
    findTool(CHROMIUM) ?? '',
    [...BROWSER_ARGUMENTS, `--user-data-dir=${folder}`, '--remote-debugging-port=0', 'about:blank'],
    { detached: true },
  )
  const endpoint = await new Promise<string>((resolve, reject) => {
    let said = ''
    browser.stderr.on('data', (data: Buffer) => {
      said += data.toString()
      const found = /DevTools listening on (ws:\S+)/.exec(said)
      if (found?.[1]) resolve(found[1])
    })
    browser.once('exit', () => reject(new Error(said)))
  })
  const connected = await chromium.connectOverCDP(endpoint)
  const [context] = connected.contexts()
  const { pid } = browser
  if (!context || pid === undefined) throw new Error('the browser has no window')
  return {
    context,
    async kill() {
      const gone = new Promise((resolve) => browser.once('exit', resolve))
      process.kill(-pid, 'SIGKILL')
      await gone
      await connected.close().catch(() => undefined)
    },
  }
}
