import { brotliCompressSync } from 'node:zlib'
import type { Plugin, Rollup } from 'vite'

/** The sheet that a first visit opens; it is loaded lazily, but a first visit waits for it. */
const FIRST_SHEET = 'FirstVisit.svelte'

const kB = (bytes: number): string => `${(bytes / 1000).toFixed(1)} kB`

/** A Vite plugin (for the build, not for the app) that prints how much script a first visit loads, after Brotli. */
export function firstLoadSize(aimBytes: number): Plugin {
  return {
    name: 'ninepin:first-load-size',
    apply: 'build',
    writeBundle(_, bundle) {
      const chunks = Object.values(bundle).filter(
        (output): output is Rollup.OutputChunk => output.type === 'chunk',
      )
      const byName = new Map(chunks.map((chunk) => [chunk.fileName, chunk]))
      const closure = (chunk: Rollup.OutputChunk | undefined, into: Set<Rollup.OutputChunk>): void => {
        if (!chunk || into.has(chunk)) return
        into.add(chunk)
        for (const name of chunk.imports) closure(byName.get(name), into)
      }
      const needed = new Set<Rollup.OutputChunk>()
      closure(
        chunks.find(({ isEntry }) => isEntry),
        needed,
      )
      closure(
        chunks.find(({ facadeModuleId }) => facadeModuleId?.endsWith(FIRST_SHEET)),
        needed,
      )
      const bytes = [...needed].reduce((sum, { code }) => sum + brotliCompressSync(code).length, 0)
      const verdict = bytes <= aimBytes ? 'under' : 'OVER'
      console.log(`first load: ${kB(bytes)} of script after Brotli, ${verdict} the aim of ${kB(aimBytes)}`)
    },
  }
}
