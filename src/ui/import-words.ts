import { listWords } from '../words/lists.ts'
import type { FileContent } from '../shelf/files.ts'

/** Names beyond so many become a number. */
const MOST_NAMES = 3

/** "Gull", "Gull and Tern", "30 titles", "2 profiles and 5 titles". */
function whatWords(contents: readonly FileContent[]): string {
  if (contents.length <= MOST_NAMES) return listWords(contents.map(({ document }) => document.name))
  const nouns = { profile: 'profile', title: 'title', layout: 'pad layout' } as const
  const counts = (['profile', 'title', 'layout'] as const).flatMap((kind) => {
    const count = contents.filter((content) => content.kind === kind).length
    return count === 0 ? [] : [`${count} ${nouns[kind]}${count === 1 ? '' : 's'}`]
  })
  return listWords(counts)
}

/** What undo takes back: "import of Gull". */
export const importLabel = (contents: readonly FileContent[]): string => `import of ${whatWords(contents)}`

/** What was taken in and where it is now; empty for nothing. */
export function importWords(contents: readonly FileContent[]): string {
  const last = contents.findLast(({ kind }) => kind === 'profile')
  const are = contents.length === 1 ? 'is' : 'are'
  if (contents.length === 0) return ''
  if (contents.every(({ kind }) => kind === 'layout'))
    return `${whatWords(contents)} ${are} among the pad layouts, on the Pad.`
  if (!last && contents.every(({ kind }) => kind === 'title'))
    return `${whatWords(contents)} ${are} among the titles.`
  if (!last) return `${whatWords(contents)} ${are} taken in.`
  const opened = contents.length === 1 ? ' and open' : `; ${last.document.name} is open`
  return `${whatWords(contents)} ${are} on the shelf${opened}.`
}

/** What could not be taken in, and what became of the rest. */
export function refusalWords(refused: readonly string[], taken: readonly FileContent[]): string {
  const named = refused.slice(0, MOST_NAMES)
  const more = refused.length - named.length
  const rest = taken.length > 0 ? importWords(taken) : 'Nothing was changed.'
  return [...named, more > 0 ? `So it is with ${more} more.` : '', rest].filter(Boolean).join(' ')
}
