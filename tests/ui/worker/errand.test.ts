import { afterEach, describe, expect, it, vi } from 'vitest'
import { Errand } from '../../../src/ui/worker/errand.svelte.ts'
import { Bridge } from '../../../src/ui/worker/bridge.ts'
import { ANSWERERS } from '../../../src/ui/worker/answerers.ts'
import type { Answerers } from '../../../src/ui/worker/answerer.ts'
import type { Questions } from '../../../src/ui/worker/questions.ts'
import type { FixQuestion } from '../../../src/bench/fix/answer.ts'
import { scripted } from './scripted-worker.ts'

/** Fixes that are found at once: none, after as many combinations as there are titles. */
const quick: Answerers<Questions> = {
  ...ANSWERERS,
  fix: async () =>
    function* ({ titles }) {
      yield { kind: 'tried', tried: titles.length, best: null }
      return { outcome: { now: [], fixes: [], tried: titles.length, standing: 'none' }, worse: [] }
    },
}

const question = (titles: number): FixQuestion =>
  ({ titles: Array.from({ length: titles }, () => null) }) as unknown as FixQuestion

function errand() {
  const played = scripted(quick)
  return { ...played, one: new Errand('fix', played.bridge) }
}

const tried = (one: Errand<'fix'>) => one.last?.answer.outcome.tried

describe('an errand', () => {
  it('brings progress and the answer to what was asked, and keeps its worker', async () => {
    const { one, workers, worker } = errand()
    one.ask(question(1))
    expect([one.state, one.progress]).toEqual(['running', null])
    await worker(0).hears()
    worker(0).tells()
    worker(0).tells()
    expect([one.state, one.progress]).toEqual(['running', { kind: 'tried', tried: 1, best: null }])
    await worker(0).answers()
    expect([one.state, tried(one), one.last?.question]).toEqual(['idle', 1, question(1)])
    one.ask(question(2))
    expect([tried(one), one.progress]).toEqual([1, null])
    await worker(0).answers()
    expect([workers.length, tried(one)]).toEqual([1, 2])
  })

  it('forgets what nobody wants any more', async () => {
    const { one, allAnswer } = errand()
    one.ask(question(1))
    one.ask(question(2))
    await allAnswer()
    expect([one.state, tried(one)]).toEqual(['idle', 2])
  })

  it('keeps the last answer when it is called off, and forgets it when it is cleared', async () => {
    const { one, allAnswer } = errand()
    one.ask(question(1))
    await allAnswer()
    one.ask(question(2))
    one.cancel()
    await allAnswer()
    expect([one.state, tried(one)]).toEqual(['idle', 1])
    one.ask(question(3))
    one.clear()
    await allAnswer()
    expect([one.state, one.last]).toEqual(['idle', null])
  })

  it('fails with its worker, says why, and asks a new one next time', async () => {
    const { one, worker, workers, allAnswer } = errand()
    one.ask(question(1))
    worker(0).dies()
    expect([one.state, one.fault]).toEqual(['failed', 'not-loaded'])
    one.ask(question(2))
    expect([one.state, one.fault]).toEqual(['running', null])
    await allAnswer()
    expect([workers.length, one.state, tried(one)]).toEqual([2, 'idle', 2])
  })

  it('leaves no worker behind, and hears nothing afterwards', async () => {
    const { one, worker, allAnswer } = errand()
    one.ask(question(1))
    await worker(0).hears()
    one.end()
    await allAnswer()
    expect([worker(0).ended, one.last, one.state]).toEqual([true, null, 'idle'])
  })

  describe('by the clock', () => {
    afterEach(() => void vi.useRealTimers())

    it('says that it takes long when it does, and only while it does', () => {
      vi.useFakeTimers()
      const { one, worker } = errand()
      one.ask(question(1))
      vi.advanceTimersByTime(290)
      expect(one.isSlow).toBe(false)
      vi.advanceTimersByTime(20)
      expect(one.isSlow).toBe(true)
      worker(0).dies()
      expect(one.isSlow).toBe(false)
      one.ask(question(1))
      one.cancel()
      vi.advanceTimersByTime(1_000)
      expect(one.isSlow).toBe(false)
    })
  })
})

it('cannot be asked without a worker, and says so', async () => {
  const one = new Errand(
    'fix',
    new Bridge(() => {
      throw new TypeError('no workers here')
    }),
  )
  one.ask(question(1))
  await Promise.resolve()
  expect([one.state, one.fault]).toEqual(['failed', 'not-loaded'])
})
