import { spawn } from 'node:child_process'
import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import type { BuiltCli } from './run-cli.ts'

/** The command line on a real terminal of the system, with its standard output in a file, as with `> FILE`. */
export interface OnTerminal {
  /** All that was shown so far. */
  readonly shown: () => string
  /** Waits until this is shown, or the program has ended. */
  readonly shows: (what: string) => Promise<void>
  /** What the keyboard sends for Ctrl-C; the terminal makes a signal of it. */
  readonly pressControlC: () => void
  /** The exit code as a shell has it, and standard output. */
  readonly ended: Promise<{ code: number; out: string }>
}

const CONTROL_C = '\u0003'

/** Runs a command on a terminal that socat makes. */
export function onTerminal(cli: BuiltCli, ...args: readonly string[]): OnTerminal {
  const [script, out, code] = ['on-terminal.sh', 'on-terminal.out', 'on-terminal.code']
  for (const name of [out, code]) rmSync(cli.path(name), { force: true })
  const command = [process.execPath, cli.program, ...args].map((word) => `'${word}'`).join(' ')
  // The shell hears the signal, too, and has to outlive it.
  writeFileSync(cli.path(script), `trap : INT\n${command} > ${out}\necho $? > ${code}\n`)
  const socat = spawn('socat', ['-', `EXEC:sh ${script},pty,setsid,ctty,stderr`], {
    cwd: cli.folder,
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  let shown = ''
  let isOver = false
  socat.stdout.setEncoding('utf8').on('data', (text: string) => (shown += text))
  socat.stdin.on('error', () => undefined)
  const ended = new Promise<{ code: number; out: string }>((resolve, reject) => {
    socat.on('error', reject)
    socat.on('close', () => {
      isOver = true
      const read = (name: string) => readFileSync(join(cli.folder, name), 'utf8')
      try {
        resolve({ code: Number(read(code)), out: read(out) })
      } catch (cause) {
        reject(cause instanceof Error ? cause : new Error(String(cause)))
      }
    })
  })
  return {
    shown: () => shown,
    async shows(what) {
      while (!shown.includes(what) && !isOver) await pause(5)
    },
    pressControlC: () => void socat.stdin.write(CONTROL_C),
    ended,
  }
}
