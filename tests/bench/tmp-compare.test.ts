import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge as old } from '/tmp/oldsrc/bench/judge.ts'
import { judge } from '../../src/bench/judge.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbTitle } from './arbitrary-title.ts'
const N = Number(process.env.N ?? 500)
test('same', () => {
  const tally: Record<string, number> = {}
  const t = { old: 0, neu: 0, worstOld: 0, worstNew: 0 }
  const add = (k: string) => (tally[k] = (tally[k] ?? 0) + 1)
  let shown = 0
  fc.assert(fc.property(arbTypicalProfile, arbTitle, arbAdapter, (profile, title, adapter) => {
    const o = { adapter, marginNs: 200 }
    const a0 = performance.now()
    const p = old(profile, title, o)
    const a1 = performance.now()
    const q = judge(profile, { ...title } as Title, o)
    const a2 = performance.now()
    t.old += a1 - a0; t.neu += a2 - a1; t.worstOld = Math.max(t.worstOld, a1 - a0); t.worstNew = Math.max(t.worstNew, a2 - a1)
    add('all')
    const diff = (what: string, x: unknown, y: unknown) => {
      if (JSON.stringify(x) === JSON.stringify(y)) return
      add(what)
      if (shown++ < Number(process.env.SHOW ?? 6)) console.log(what, JSON.stringify(x), JSON.stringify(y), '\n', p.reason, '\n', q.reason, '\n', process.env.FULL ? JSON.stringify({ title, adapter, d: profile.delayNs, idle: profile.idleResetNs, after: profile.chart.after.kind, n: profile.chart.cycles.length }) : '')
    }
    diff('verdict', p.verdict, q.verdict)
    if (p.verdict === q.verdict) {
      if (p.verdict === 'misread') {
        diff('inside', p.marginNs, q.marginNs)
        diff('held', p.counterexample?.held.length, q.counterexample?.held.length)
        diff('example', p.counterexample, q.counterexample)
        diff('kinds', p.findings.map((f) => f.kind), q.findings.map((f) => f.kind))
      }
      else {
        if ((q.marginNs ?? 1e12) < (p.marginNs ?? 1e12)) diff('smaller', p.marginNs, q.marginNs)
        else diff('larger', p.marginNs, q.marginNs)
        diff('tightest', p.tightest, q.tightest)
      }
    }
  }), { numRuns: N, seed: Number(process.env.SEED ?? 1) })
  console.log(tally, t)
  expect(1).toBe(1)
}, 3_000_000)
