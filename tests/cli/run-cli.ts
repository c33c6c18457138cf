import { spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, inject } from 'vitest'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

export interface Outcome {
  readonly code: number | null
  readonly out: string
  readonly err: string
}

/** The command line as its users have it: built once for all test files, and run as a process of its own. */
export interface BuiltCli {
  /** A folder in which commands run and leave their files. */
  readonly folder: string
  readonly program: string
  run(...args: readonly string[]): Outcome
  /** The same with options for Node. */
  runUnder(node: readonly string[], ...args: readonly string[]): Outcome
  /** Runs beside the test, which can be at the other end of something meanwhile. */
  start(...args: readonly string[]): Promise<Outcome>
  /** The one JSON value that a command prints. */
  json(...args: readonly string[]): unknown
  path(name: string): string
}

export const demoTitle = (name: string): string => join(ROOT, 'static/demo/titles', `${name}.json`)

/** The command line, built, and a folder for the tests of one file that is cleared away after them. */
export function builtCli(): BuiltCli {
  const base = inject('cliFolder')
  const folder = mkdtempSync(join(base, 'work-'))
  const program = join(base, 'cli', 'ninepin.js')

  beforeAll(() => buildOnce(base), 120_000)
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true })
  })

  const runUnder = (node: readonly string[], ...args: readonly string[]): Outcome => {
    const { status, stdout, stderr } = spawnSync(process.execPath, [...node, program, ...args], {
      cwd: folder,
      encoding: 'utf8',
    })
    return { code: status, out: stdout, err: stderr }
  }
  const run = (...args: readonly string[]): Outcome => runUnder([], ...args)
  const start = (...args: readonly string[]): Promise<Outcome> => {
    const child = spawn(process.execPath, [program, ...args], { cwd: folder })
    const said = { out: '', err: '' }
    child.stdout.setEncoding('utf8').on('data', (text: string) => (said.out += text))
    child.stderr.setEncoding('utf8').on('data', (text: string) => (said.err += text))
    return new Promise((resolve, reject) => {
      child.on('error', reject)
      child.on('close', (code) => resolve({ code, ...said }))
    })
  }
  return {
    folder,
    program,
    run,
    runUnder,
    start,
    json: (...args) => JSON.parse(run(...args, '--json').out) as unknown,
    path: (name) => join(folder, name),
  }
}

/** Whoever makes the folder of the lock builds; the others wait until what was built stands in its place, whole. */
async function buildOnce(base: string): Promise<void> {
  const [lock, outDir] = [join(base, 'building'), join(base, 'cli')]
  while (!existsSync(outDir)) {
    // Gives what it made: nothing where the folder is there already.
    if (mkdirSync(lock, { recursive: true }) === undefined) {
      await setTimeout(50)
      continue
    }
    try {
      const { build } = await import('vite')
      await build({
        root: ROOT,
        configFile: join(ROOT, 'vite.config.ts'),
        mode: 'cli',
        logLevel: 'silent',
        build: { outDir: join(lock, 'cli'), emptyOutDir: true },
      })
      renameSync(join(lock, 'cli'), outDir)
    } catch (cause) {
      rmSync(lock, { recursive: true, force: true })
      throw cause
    }
  }
}
