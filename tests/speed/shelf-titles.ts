import { readFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { shortTitle, withShort } from '../bench/short-titles.ts'

/** A shelf of `count` titles that differ: the demo titles with their reads and spacings moved. */
export function shelfOf(root: string, count: number): Title[] {
  const folder = join(root, 'static/demo/titles')
  const titles = readdirSync(folder).flatMap((file) => {
    const title = readTitle(readFileSync(join(folder, file)))
    return title.ok ? [title.value] : []
  })
  return Array.from({ length: count }, (_, k) => {
    const title = titles[k % titles.length] as Title
    const { edgeSpacingNs, readOffsetsNs } = shortTitle(title)
    return withShort(title, {
      readOffsetsNs: readOffsetsNs.map((offsetNs) => offsetNs + 137 * k),
      edgeSpacingNs: { minNs: edgeSpacingNs.minNs + k, maxNs: edgeSpacingNs.maxNs + 2 * k },
    })
  })
}
