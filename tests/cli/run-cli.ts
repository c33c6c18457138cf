import { spawn, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll } from 'vitest'
import { build } from 'vite'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

export interface Outcome {
  readonly code: number | null
  readonly out: string
  readonly err: string
}

/** The command line as its users have it: built once into a folder of its own, and run as a process of its own. */
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

/** Builds the command line for the tests of one file and clears everything away after them. */
export function builtCli(): BuiltCli {
  const base = mkdtempSync(join(tmpdir(), 'ninepin-cli-'))
  const folder = mkdtempSync(join(base, 'work-'))
  const outDir = join(base, 'cli')
  const program = join(outDir, 'ninepin.js')

  beforeAll(async () => {
    // The serial library is not in the bundle; an installed command line finds it beside itself.
    symlinkSync(join(ROOT, 'node_modules'), join(base, 'node_modules'))
    await build({
      root: ROOT,
      configFile: join(ROOT, 'vite.config.ts'),
      mode: 'cli',
      logLevel: 'silent',
      build: { outDir, emptyOutDir: true },
    })
  }, 120_000)
  afterAll(() => {
    rmSync(base, { recursive: true, force: true })
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
