// npm run firmware: builds the firmware into static/firmware, or into the folder that is named.
import { fileURLToPath } from 'node:url'
import { runnerImport } from 'vite'

const folder = process.argv[2] ?? fileURLToPath(new URL('../../../static/firmware', import.meta.url))
const { module } = await runnerImport(fileURLToPath(new URL('./build.ts', import.meta.url)))
try {
  for (const { path, bytes } of module.buildFirmware(folder)) console.log(`${bytes} bytes  ${path}`)
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error))
  process.exitCode = 1
}
