import { readFileSync, readdirSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readTitle } from '../../src/title/file.ts'

const folder = new URL('../../static/demo/titles/', import.meta.url)
for (const file of readdirSync(folder)) {
  const t = readTitle(readFileSync(new URL(file, folder)))
  test(file, () => {
    if (!t.ok) throw new Error(JSON.stringify(t.error))
    for (const [n, p] of Object.entries(BUILT_IN_PROFILES)) {
      const j = judge(p, t.value, { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS })
      console.log(file, n, j.verdict, j.marginNs, j.reason, j.unseen.join(), JSON.stringify(j.counterexample))
    }
    expect(1).toBe(1)
  })
}
