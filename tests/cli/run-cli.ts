import { spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs'
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
  /** Runs one command after the other in a process of its own. */
  runAll(commands: readonly (readonly string[])[]): Outcome[]
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
  const runAll = (commands: readonly (readonly string[])[]): Outcome[] => {
    const script = join(folder, 'run-all.mjs')
    writeFileSync(script, RUN_ALL)
    const { status, stdout, stderr } = spawnSync(process.execPath, [script, program, SAYS, ENDS], {
      cwd: folder,
      encoding: 'utf8',
      input: JSON.stringify(commands),
      maxBuffer: 2 ** 30,
    })
    const [outs = [], errs = []] = [stdout, stderr].map((text) => text.split(SAYS).slice(1))
    if (status !== 0 || outs.length !== commands.length) throw new Error(stderr)
    return outs.map((said, k) => {
      const [out = '', code] = said.split(ENDS)
      return { code: Number(code), out, err: errs[k] ?? '' }
    })
  }
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
    runAll,
    start,
    json: (...args) => JSON.parse(run(...args, '--json').out) as unknown,
    path: (name) => join(folder, name),
  }
}

/** Stands before what each command says, and between that and what it ends with. */
const [SAYS, ENDS] = ['\u0001says\u0001', '\u0001ends\u0001']

/** Loads the program, which begins by telling its version, and has it run what comes in. */
const RUN_ALL = `
import { readFileSync, writeSync } from 'node:fs'
const [node, , program, says, ends] = process.argv
process.argv = [node, program, '--version']
const { run } = await import(program)
for (const args of JSON.parse(readFileSync(0, 'utf8'))) {
  writeSync(1, says)
  writeSync(2, says)
  writeSync(1, ends + (await run(args)))
}
process.exitCode = 0
`

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
