import fc from 'fast-check'
import { test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explore as old } from '/tmp/oldsrc/bench/explore.ts'
import { explore } from '../../src/bench/reach/explore.ts'
import { meetsOf } from '../../src/bench/reach/meets.ts'
import { shapeOf } from '../../src/bench/reach/shape.ts'
import { scheduleOf } from '../../src/title/schedule.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbTitle } from './arbitrary-title.ts'
test('time', () => {
  const all = fc.sample(fc.tuple(arbTypicalProfile, arbTitle, arbAdapter), { numRuns: 600, seed: 5 })
  const t = [0, 0, 0]
  let states = 0, worst = [0, 0], entries = 0
  for (const pass of [0, 1]) for (const [p, title, a] of all) {
    const box = boxOf(p, title, a)
    const t0 = performance.now()
    if (pass) old(title, p.chart, box)
    const t1 = performance.now()
    const r = explore(scheduleOf(title), shapeOf(p.chart), box)
    const t2 = performance.now()
    const m = meetsOf(r)
    const t3 = performance.now()
    if (pass) { t[0] += t1 - t0; t[1] += t2 - t1; t[2] += t3 - t2; states += r.count; entries += m.length; worst = [Math.max(worst[0]!, t1 - t0), Math.max(worst[1]!, t3 - t1)] }
  }
  console.log({ old: t[0], explore: t[1], meets: t[2], states, entries, worst })
}, 600000)
