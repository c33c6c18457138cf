// npm run tables, at the top of the repository: writes the numbers that TypeScript, C and Markdown share. Each room states its
// own in a *.table.ts.
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { runnerImport } from 'vite'

const all = await runnerImport(fileURLToPath(new URL('./all.ts', import.meta.url)))
const outputs = await runnerImport(fileURLToPath(new URL('./outputs.ts', import.meta.url)))

const read = (path) => readFileSync(path, 'utf8')
for (const { path, text } of outputs.module.outputsOf(all.module.TABLES, read)) {
  if (existsSync(path) && read(path) === text) continue
  writeFileSync(path, text)
  console.log(path)
}
