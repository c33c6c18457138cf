import { placed } from './table.ts'
import type { Layout, MarkdownTable } from './table.ts'

/** Tables in a Markdown file, each between two marks that no reader sees. */

const rowsOf = (layout: Layout): string[][] =>
  placed(layout).map(({ offset, at, type, bytes, means }) => [
    offset === null ? (at as string) : String(offset),
    type ?? String(bytes),
    means,
  ])

function lines({ head, rows }: MarkdownTable): string[] {
  const all = [head, ...('kind' in rows ? rowsOf(rows) : rows)]
  const widths = head.map((_, column) => Math.max(3, ...all.map((row) => row[column]?.length ?? 0)))
  const line = (row: readonly string[]): string =>
    `| ${widths.map((width, column) => (row[column] ?? '').padEnd(width)).join(' | ')} |`
  const [first, ...others] = all.map(line)
  return [first as string, `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`, ...others]
}

/**
 * A Markdown text with these tables in their places.
 *
 * @throws Error when a table has no place, or more than one
 */
export function withTables(text: string, tables: readonly MarkdownTable[], source: string): string {
  return tables.reduce((before, table) => {
    const begin = `<!-- table ${table.mark}: written by \`npm run tables\` from ${source} -->`
    const end = `<!-- end of ${table.mark} -->`
    const parts = before.split(new RegExp(`<!-- table ${table.mark}:? [^>]*-->[^]*?${end}`))
    if (parts.length !== 2) throw new Error(`${parts.length - 1} places for the table ${table.mark}`)
    return parts.join([begin, '', ...lines(table), '', end].join('\n'))
  }, text)
}
