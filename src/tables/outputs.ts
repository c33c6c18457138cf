import { headerOf } from './c.ts'
import { withTables } from './markdown.ts'
import type { Table } from './table.ts'
import { typescriptOf } from './typescript.ts'

export interface Output {
  /** From the top of the repository. */
  readonly path: string
  readonly text: string
}

/**
 * All that these tables write. A Markdown file is taken as it is, but for the tables in it.
 *
 * @param read gives the text of a file by its path from the top of the repository
 */
export function outputsOf(tables: readonly Table[], read: (path: string) => string): Output[] {
  const markdown = new Map<string, string>()
  const code = tables.flatMap((table) => {
    if (table.markdown) {
      const { path, tables: all } = table.markdown
      markdown.set(path, withTables(markdown.get(path) ?? read(path), all, table.source))
    }
    return [
      ...(table.typescript === undefined ? [] : [{ path: table.typescript, text: typescriptOf(table) }]),
      ...(table.c === undefined ? [] : [{ path: table.c, text: headerOf(table, table.c) }]),
    ]
  })
  return [...code, ...[...markdown].map(([path, text]) => ({ path, text }))]
}
