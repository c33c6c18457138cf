import { chmodSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  interface ProvidedContext {
    /** The folder in which the command line is built, by the first test file that needs it, for all test files of a run. */
    cliFolder: string
  }
}

/** Makes the folder before the first test file and clears it away after the last one. */
export default function oneFolder({ provide }: TestProject): () => void {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-cli-'))
  // Some tests run the command line as another user.
  chmodSync(folder, 0o755)
  // The serial library is not in the bundle; an installed command line finds it beside itself.
  symlinkSync(fileURLToPath(new URL('../../node_modules', import.meta.url)), join(folder, 'node_modules'))
  provide('cliFolder', folder)
  return () => rmSync(folder, { recursive: true, force: true })
}
