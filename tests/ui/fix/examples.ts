import { readFileSync } from 'node:fs'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { readTitle } from '../../../src/title/file.ts'
import type { Title } from '../../../src/title/schema.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { withShort } from '../../bench/short-titles.ts'

export const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }

/** A title of the museum. */
export function demo(name: string): Title {
  const file = new URL(`../../../static/demo/titles/${name}.json`, import.meta.url)
  const title = readTitle(readFileSync(file))
  if (!title.ok) throw new Error(title.error.message)
  return title.value
}

/** Looks sooner than any adapter answers: nothing in the grid helps it. */
export const hopeless: Title = withShort(PLAIN.quick, {
  name: 'Gull Weather',
  sampleAfterEdgeNs: { minNs: 20, maxNs: 30 },
})
