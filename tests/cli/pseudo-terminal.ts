import { spawn } from 'node:child_process'
import { appendFileSync, existsSync } from 'node:fs'
import { setTimeout as pause } from 'node:timers/promises'

/** A real serial line of the system, with this process in the place of the device. */
export interface PseudoTerminal {
  readonly path: string
  /** What has come to the device so far. */
  readonly received: Buffer
  /** All that its users wrote to it, once they have closed it. */
  everything(): Promise<Buffer>
  say(bytes: Uint8Array | string): void
  unplug(): void
}

const LAST = 'the last thing written'

/**
 * Makes one with socat, in raw mode.
 *
 * @param path where its user finds it
 * @param device gets what its user writes
 */
export async function pseudoTerminal(
  path: string,
  device: (line: PseudoTerminal, bytes: Buffer) => void = () => undefined,
): Promise<PseudoTerminal> {
  const socat = spawn('socat', ['-', `PTY,link=${path},raw,echo=0`], { stdio: ['pipe', 'pipe', 'inherit'] })
  // What is said to a line that is gone, is lost.
  socat.stdin.on('error', () => undefined)
  let received = Buffer.alloc(0)
  const line: PseudoTerminal = {
    path,
    get received() {
      return received
    },
    async everything() {
      // A line keeps the order, so what comes before this has come when this has.
      appendFileSync(path, LAST)
      while (!received.includes(LAST)) await pause(5)
      return received.subarray(0, received.indexOf(LAST))
    },
    say: (bytes) => void socat.stdin.write(bytes),
    unplug: () => void socat.kill('SIGKILL'),
  }
  socat.stdout.on('data', (bytes: Buffer) => {
    received = Buffer.concat([received, bytes])
    device(line, bytes)
  })
  while (!existsSync(path)) {
    if (socat.exitCode !== null) throw new Error('socat made no pseudo-terminal')
    await pause(10)
  }
  return line
}
