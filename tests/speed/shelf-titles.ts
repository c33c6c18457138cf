import { readFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { readTitle } from '../../src/title/file.ts'
import type { Read, Step, Title } from '../../src/title/schema.ts'

/** A shelf of `count` titles that differ: the demo titles with their reads moved and the steps between their edges made longer. */
export function shelfOf(root: string, count: number): Title[] {
  const folder = join(root, 'static/demo/titles')
  const titles = readdirSync(folder).flatMap((file) => {
    const title = readTitle(readFileSync(join(folder, file)))
    return title.ok ? [title.value] : []
  })
  return Array.from({ length: count }, (_, k) => {
    const title = titles[k % titles.length] as Title
    return {
      ...title,
      modes: title.modes.map((mode) => ({ ...mode, reads: mode.reads.map((read) => moved(read, k)) })),
    }
  })
}

function moved({ starts, steps, ...read }: Read, k: number): Read {
  return {
    ...read,
    starts:
      starts.kind === 'frame'
        ? { ...starts, offsetsNs: starts.offsetsNs.map((offsetNs) => offsetNs + 137 * k) }
        : starts,
    steps: steps.map((step): Step => {
      if (!('select' in step)) return step
      const { minNs, maxNs } = step.after
      return { ...step, after: { minNs: minNs + k, maxNs: maxNs + 2 * k } }
    }),
  }
}
