import { accessSync, constants } from 'node:fs'
import { createRequire } from 'node:module'
import { delimiter, join } from 'node:path'
import { describe } from 'vitest'

const require = createRequire(import.meta.url)

/**
 * A tool outside the project: the name of a program, or `npm:` and a module that this package may do without, such as
 * `npm:cobs` or `npm:cobs/lib/file.js`. One of several programs is told by bars: `chromium|chromium-browser`.
 */
export type Tool = string

/** Where a tool is, or nothing where it is absent. */
export function findTool(tool: Tool): string | undefined {
  if (tool.startsWith('npm:')) return findModule(tool.slice('npm:'.length))
  for (const name of tool.split('|')) {
    const path = findProgram(name)
    if (path !== undefined) return path
  }
  return undefined
}

/**
 * A suite that needs tools. Where one is absent the suite is listed as skipped and its name says what is missing.
 * The body runs even then, to list its tests: what needs a tool belongs inside them.
 */
export function describeWith(name: string, tools: readonly Tool[], body: () => void): void {
  const missing = tools.filter((tool) => findTool(tool) === undefined)
  const title = missing.length > 0 ? `${name} (not here: ${missing.join(', ')})` : name
  describe.skipIf(missing.length > 0)(title, body)
}

function findProgram(name: string): string | undefined {
  const endings = process.platform === 'win32' ? ['.exe', '.cmd', ''] : ['']
  const folders = (process.env['PATH'] ?? '').split(delimiter).filter((folder) => folder !== '')
  const paths = folders.flatMap((folder) => endings.map((ending) => join(folder, name + ending)))
  return paths.find(isExecutable)
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK)
    return true
  } catch {
    return false
  }
}

function findModule(name: string): string | undefined {
  try {
    return require.resolve(name)
  } catch {
    return undefined
  }
}
