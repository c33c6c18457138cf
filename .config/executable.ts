import { chmodSync } from 'node:fs'
import { join } from 'node:path'
import type { Plugin } from 'vite'

/**
 * A Vite plugin that lets a built program be run by its name. npm makes it executable when it links the program, once; a later build
 * writes a new file, and `npx` would be refused.
 */
export function executable(outDir: string, fileName: string): Plugin {
  return {
    name: 'ninepin:executable',
    apply: 'build',
    writeBundle(options) {
      chmodSync(join(options.dir ?? outDir, fileName), 0o755)
    },
  }
}
