import { mkdirSync } from 'node:fs'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll } from 'vitest'
import { SHOTS, ensureBuilt, serveApp } from './app-server.ts'
import type { AppServer } from './app-server.ts'
import { openBrowser } from './browser.ts'

/** The built app behind a server, and a browser to visit it. */
class AppInBrowser {
  #server: AppServer | null = null
  #browser: Browser | null = null

  /** For the inside of a `describe`: both come before its tests and go after them. */
  comesAndGoes(): void {
    beforeAll(async () => {
      ensureBuilt()
      mkdirSync(SHOTS, { recursive: true })
      this.#server = await serveApp()
      this.#browser = await openBrowser()
    }, 300_000)
    afterAll(async () => {
      await this.#browser?.close()
      await this.#server?.stop()
    })
  }

  get address(): string {
    if (this.#server === null) throw new Error('the app is not served yet')
    return this.#server.address
  }

  get browser(): Browser {
    if (this.#browser === null) throw new Error('the browser is not open yet')
    return this.#browser
  }
}

export const app = new AppInBrowser()
