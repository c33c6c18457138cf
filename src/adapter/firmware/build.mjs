// npm run firmware: builds the firmware into static/firmware, or into the folder that is named.
import { fileURLToPath } from 'node:url'
import { runnerImport } from 'vite'

const here = (path) => fileURLToPath(new URL(path, import.meta.url))
const folder = process.argv[2] ?? here('../../../static/firmware')
const { module } = await runnerImport(here('build.ts'))
try {
  for (const { path, bytes } of module.buildFirmware(folder)) console.log(`${bytes} bytes  ${path}`)
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error))
  process.exitCode = 1
}
