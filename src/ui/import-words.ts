import type { FileContent } from '../shelf/files.ts'
import { listWords } from '../words/lists.ts'
import { t } from './import-texts.ts'

/** Names beyond so many become a number. */
const MOST_NAMES = 3

/** "Gull", "Gull and Tern", "30 titles", "2 profiles and 5 titles". */
function whatWords(contents: readonly FileContent[]): string {
  if (contents.length <= MOST_NAMES) return listWords(contents.map(({ document }) => document.name))
  const counts = [
    ['profile', t.profiles],
    ['title', t.titles],
    ['layout', t.layouts],
  ] as const
  return listWords(
    counts.flatMap(([kind, text]) => {
      const n = contents.filter((content) => content.kind === kind).length
      return n === 0 ? [] : [text({ n })]
    }),
  )
}

/** What undo takes back: "import of Gull". */
export const importLabel = (contents: readonly FileContent[]): string => t.step({ what: whatWords(contents) })

/** What was taken in and where it is now; empty for nothing. */
export function importWords(contents: readonly FileContent[]): string {
  if (contents.length === 0) return ''
  const last = contents.findLast(({ kind }) => kind === 'profile')
  const came = { n: contents.length, what: whatWords(contents) }
  if (contents.every(({ kind }) => kind === 'layout')) return t.asLayout(came)
  if (contents.every(({ kind }) => kind === 'title')) return t.asTitle(came)
  return last ? t.opened({ ...came, open: last.document.name }) : t.taken(came)
}

/** What could not be taken in, and what became of the rest. */
export function refusalWords(refused: readonly string[], taken: readonly FileContent[]): string {
  const named = refused.slice(0, MOST_NAMES)
  const more = refused.length - named.length
  const rest = taken.length > 0 ? importWords(taken) : t.unchanged
  return [...named, ...(more > 0 ? [t.moreRefused({ n: more })] : []), rest].join(' ')
}
