import * as v from 'valibot'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { readFile } from './read-file.ts'
import type { Entry } from './entry.ts'
import { fileTexts as t } from './file-texts.ts'

/** The demo's files, by their paths beside the index. */
const IndexSchema = v.object({
  profiles: v.array(v.string()),
  titles: v.array(v.string()),
  layouts: v.fallback(v.array(v.string()), []),
})

/** Gets the bytes of a file under the demo folder, or `null` where there is none. */
export type FetchDemo = (path: string) => Promise<Uint8Array | null>

const stemOf = (path: string): string => path.replace(/^.*\//, '').replace(/\.json$/, '')

/**
 * The Saltmarsh Lamp Museum, read with the readers that the user's own files go through. Ids come from the file names,
 * so that two tabs that lay the demo out at once lay out the same.
 */
export async function loadDemo(fetchDemo: FetchDemo): Promise<Result<readonly Entry[], string>> {
  const index = await fetchDemo('index.json')
  if (index === null) return err(t.demoNotFetched)
  const listed = v.safeParse(v.pipe(v.string(), v.parseJson(), IndexSchema), new TextDecoder().decode(index))
  if (!listed.success) return err(t.demoIndexDamaged)
  const paths = [...listed.output.profiles, ...listed.output.titles, ...listed.output.layouts]
  const files = await Promise.all(paths.map(fetchDemo))
  const kept: Entry[] = []
  for (const [place, path] of paths.entries()) {
    const bytes = files[place]
    if (!bytes) return err(t.demoFileNotFetched({ path }))
    const content = readFile(path, bytes)
    if (!content.ok) return err(`${t.demoDamaged} ${content.error}`)
    const card = { id: `demo-${stemOf(path)}`, revision: 1, place, origin: 'demo' } as const
    kept.push(...content.value.map((one) => ({ ...card, ...one })))
  }
  return ok(kept)
}

/** Fetches the demo from beside the page. */
export const fetchBeside =
  (base: string): FetchDemo =>
  async (path) => {
    try {
      const response = await fetch(new URL(`demo/${path}`, base))
      // A server that answers every path with the page itself has no demo.
      if (!response.ok || response.headers.get('content-type')?.startsWith('text/html')) return null
      return new Uint8Array(await response.arrayBuffer())
    } catch {
      return null
    }
  }
