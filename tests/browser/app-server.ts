import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync, readdirSync, statSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { extname, join, normalize } from 'node:path'
import { fileURLToPath } from 'node:url'
import { HEADERS } from '../../.config/content-policy.ts'

const ROOT = fileURLToPath(new URL('../../', import.meta.url))
const APP = join(ROOT, 'dist/app')
export const SHOTS = join(ROOT, 'dist/shots')

const TYPES: Record<string, string> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.txt': 'text/plain; charset=utf-8',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.webmanifest': 'application/manifest+json',
}

/** The newest change under a folder, in ms since the epoch. */
function newestMs(folder: string): number {
  const files = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) =>
    entry.isFile(),
  )
  return Math.max(0, ...files.map((file) => statSync(join(file.parentPath, file.name)).mtimeMs))
}

/** Builds the app unless `npm run build` has left a build that is newer than everything it is made from. */
export function ensureBuilt(): void {
  const page = join(APP, 'index.html')
  const configMs = Math.max(statSync(join(ROOT, 'vite.config.ts')).mtimeMs, newestMs(join(ROOT, '.config')))
  const sourcesMs = Math.max(newestMs(join(ROOT, 'src')), newestMs(join(ROOT, 'static')), configMs)
  if (existsSync(page) && statSync(page).mtimeMs > sourcesMs) return
  // In a process of its own: vitest has set NODE_ENV, and the app would be built for tests.
  const vite = join(ROOT, 'node_modules/vite/bin/vite.js')
  const env = { ...process.env, NODE_ENV: 'production' }
  execFileSync(process.execPath, [vite, 'build', '--mode', 'app', '--logLevel', 'warn'], { cwd: ROOT, env })
}

export interface AppServer {
  readonly address: string
  /** Nothing is answered any more, as without a network. */
  stop(): Promise<void>
}

/**
 * Serves the built app, and nothing else.
 *
 * @param changed gives what is served of a file in place of what was built; `null` where it is gone
 */
export async function serveApp(
  changed: (path: string, built: Buffer) => Buffer | null = (_, built) => built,
): Promise<AppServer> {
  const server = createServer((request, response) => {
    const path = decodeURIComponent(new URL(request.url ?? '/', 'http://localhost').pathname)
    const file = join(APP, normalize(path === '/' ? '/index.html' : path))
    const isThere = file.startsWith(APP) && existsSync(file) && statSync(file).isFile()
    const served = isThere ? changed(path, readFileSync(file)) : null
    if (served === null) {
      response.writeHead(404).end()
      return
    }
    response.writeHead(200, {
      ...HEADERS,
      'content-type': TYPES[extname(file)] ?? 'application/octet-stream',
    })
    response.end(served)
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  return {
    address: `http://127.0.0.1:${port}/`,
    async stop() {
      const closed = new Promise((resolve) => server.close(resolve))
      server.closeAllConnections()
      await closed
    },
  }
}
