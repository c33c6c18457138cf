import { describe, expect, it } from 'vitest'
import type { FixQuestion } from '../../../src/bench/fix/answer.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { FixSearch } from '../../../src/ui/fix/fix-search.svelte.ts'
import { sameQuestion } from '../../../src/ui/fix/same-question.ts'
import { ANSWERERS } from '../../../src/ui/worker/answerers.ts'
import { scripted } from '../worker/scripted-worker.ts'
import { demo, hopeless, options } from './examples.ts'

const copper = demo('copper-kite-rally')
const moths = demo('nine-moths')
const question = (profile: keyof typeof BUILT_IN_PROFILES = 'six-button'): FixQuestion => ({
  profile: BUILT_IN_PROFILES[profile],
  titles: [copper],
  others: [moths],
  options,
})

/** A search whose question the test changes, and whose worker it plays. */
function search(first = question()) {
  const played = scripted(ANSWERERS)
  let now = first
  const it = new FixSearch(() => now, played.bridge)
  return {
    ...played,
    search: it,
    answered: () => played.until(() => it.state.kind === 'found' && it.state.worse !== null),
    turnTo: (next: FixQuestion) => {
      now = next
      it.ask()
    },
  }
}

describe('the search for fixes', () => {
  it('is searching, then has found something, and then knows what that does to other titles', async () => {
    const { search: fixes, worker } = search()
    fixes.ask()
    expect(fixes.state).toEqual({ kind: 'searching', tried: 0, best: null })
    const states = [fixes.state]
    while (fixes.state.kind !== 'found' || fixes.state.worse === null) {
      await worker(0).hears()
      worker(0).tells()
      states.push(fixes.state)
    }
    const kinds = states.map((state) =>
      state.kind === 'found' ? `found ${state.worse !== null}` : state.kind,
    )
    expect([...new Set(kinds)]).toEqual(['searching', 'found false', 'found true'])
    expect(fixes.state).toMatchObject({ worse: [['Nine Moths'], []] })
  })

  it('asks nothing twice', async () => {
    const { search: fixes, worker, answered, turnTo } = search()
    fixes.ask()
    await answered()
    turnTo(question())
    turnTo({ ...question(), options: structuredClone(options) })
    expect(worker(0).asked).toHaveLength(1)
    turnTo(question('three-button'))
    expect(worker(0).asked).toHaveLength(2)
    await answered()
    expect(fixes.state).toMatchObject({ kind: 'found', outcome: { standing: 'clean' } })
  })

  it('never shows the state of an earlier question', async () => {
    const { search: fixes, worker, answered, turnTo } = search()
    fixes.ask()
    await answered()
    turnTo({ ...question(), titles: [hopeless] })
    expect(fixes.state).toEqual({ kind: 'searching', tried: 0, best: null })
    turnTo(question('three-button'))
    await answered()
    expect(fixes.state).toMatchObject({ kind: 'found', outcome: { standing: 'clean' } })
    expect(worker(0).asked.length).toBeGreaterThan(0)
  })

  it('stops, and begins anew when asked to', async () => {
    const { search: fixes, worker, workers, answered } = search()
    fixes.ask()
    fixes.stop()
    expect(fixes.state).toEqual({ kind: 'stopped', tried: 0, best: null })
    fixes.ask()
    expect(worker(0).asked).toHaveLength(1)
    fixes.again()
    expect([fixes.state.kind, workers.length]).toEqual(['searching', 2])
    await answered()
    expect(fixes.state.kind).toBe('found')
  })

  it('says so when the worker cannot be had, and tries once more when asked to', async () => {
    const { search: fixes, worker, answered } = search()
    fixes.ask()
    worker(0).dies()
    expect(fixes.state).toEqual({ kind: 'failed', fault: 'not-loaded' })
    fixes.again()
    await answered()
    expect(fixes.state.kind).toBe('found')
  })

  it('ends with the page that asked', () => {
    const { search: fixes, worker } = search()
    fixes.ask()
    fixes.end()
    expect(worker(0).ended).toBe(true)
  })
})

it('is another question when anything differs that the answer rests on', () => {
  const first = question()
  const others: FixQuestion[] = [
    { ...first, profile: BUILT_IN_PROFILES['three-button'] },
    { ...first, options: { ...options, marginNs: 500 } },
    { ...first, options: { ...options, adapter: { ...options.adapter, clockPpm: 1_000 } } },
    { ...first, titles: [moths] },
    { ...first, titles: [copper, moths] },
    { ...first, others: [] },
  ]
  for (const other of others) expect(sameQuestion(first, other)).toBe(false)
  expect(sameQuestion(first, { ...first, options: structuredClone(options) })).toBe(true)
})
