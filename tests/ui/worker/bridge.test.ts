import fc from 'fast-check'
import { afterEach, describe, expect, it, vi } from 'vitest'
import type { Result } from '../../../src/port/result.ts'
import { Bridge } from '../../../src/ui/worker/bridge.ts'
import type { WorkFault } from '../../../src/ui/worker/messages.ts'
import { scripted } from './scripted-worker.ts'
import { TOY_ANSWERERS } from './toy-questions.ts'
import type { ToyQuestions } from './toy-questions.ts'
import { draws, often } from '../../draws.ts'

type Counted = ToyQuestions['count']['answer']

/** A question and all that was heard of it. */
class Asked {
  readonly progress: ToyQuestions['count']['progress'][] = []
  readonly results: Result<Counted, WorkFault>[] = []
  cancelled = false
  readonly #cancel: () => void

  constructor(
    bridge: Bridge<ToyQuestions>,
    readonly name: string,
    to: number,
  ) {
    this.#cancel = bridge.ask(
      'count',
      { name, to },
      {
        progress: (one) => {
          expect([this.cancelled, this.results.length], 'progress after the end').toEqual([false, 0])
          this.progress.push(one)
        },
        settled: (result) => {
          expect([this.cancelled, this.results.length], 'an answer after the end').toEqual([false, 0])
          this.results.push(result)
        },
      },
    )
  }

  cancel(): void {
    this.cancelled = this.results.length === 0
    this.#cancel()
  }
}

const answered = (name: string, counted: number) => [{ ok: true, value: { name, counted } }]
const failed = (error: WorkFault) => [{ ok: false, error }]

describe('the bridge to a worker', () => {
  afterEach(() => {
    vi.useRealTimers()
    vi.restoreAllMocks()
  })

  it('brings progress, each kind of it at once, and then the answer', async () => {
    const { bridge, worker } = scripted(TOY_ANSWERERS)
    const one = new Asked(bridge, 'a', 4)
    await worker(0).answers()
    expect(one.progress.map(({ at }) => at)).toEqual([1, 2, 3, 4])
    expect(one.results).toEqual(answered('a', 4))
  })

  it('keeps its worker for the next question', async () => {
    const { bridge, workers, worker } = scripted(TOY_ANSWERERS)
    const one = new Asked(bridge, 'a', 0)
    await worker(0).answers()
    const two = new Asked(bridge, 'b', 0)
    await worker(0).answers()
    expect([workers.length, one.results, two.results]).toEqual([1, answered('a', 0), answered('b', 0)])
  })

  it('asks another worker while one may be at what nobody wants any more', async () => {
    const { bridge, worker } = scripted(TOY_ANSWERERS)
    const kept = new Asked(bridge, 'kept', 2)
    new Asked(bridge, 'a', 2).cancel()
    const next = new Asked(bridge, 'b', 2)
    expect([worker(0).ended, worker(1).asked]).toEqual([false, ['count']])
    await worker(1).answers()
    await worker(0).answers()
    expect([kept.results, next.results]).toEqual([answered('kept', 2), answered('b', 2)])
    // Nobody waits for the first any more.
    expect([worker(0).ended, worker(1).ended]).toEqual([true, false])
  })

  it('keeps a worker that has heard that a question is cancelled', async () => {
    const { bridge, workers, worker } = scripted(TOY_ANSWERERS)
    const one = new Asked(bridge, 'a', 2)
    one.cancel()
    await worker(0).answers()
    const two = new Asked(bridge, 'b', 2)
    await worker(0).answers()
    expect([workers.length, worker(0).ended, two.results]).toEqual([1, false, answered('b', 2)])
  })

  it('says that a worker could not be loaded where its script has never run, and that it broke where it has', async () => {
    const { bridge, worker } = scripted(TOY_ANSWERERS)
    const one = new Asked(bridge, 'a', 1)
    worker(0).dies()
    expect(one.results).toEqual(failed('not-loaded'))
    const two = new Asked(bridge, 'b', 1)
    await worker(1).hears()
    worker(1).tells()
    worker(1).dies()
    expect(two.results).toEqual(failed('broken'))
    expect([worker(0).ended, worker(1).ended]).toEqual([true, true])
    const three = new Asked(bridge, 'c', 1)
    await worker(2).answers()
    expect(three.results).toEqual(answered('c', 1))
  })

  it('says the same of one that cannot even be started, unless nobody listens any more', async () => {
    const bridge = new Bridge<ToyQuestions>(() => {
      throw new TypeError('not from here')
    })
    const [one, two] = [new Asked(bridge, 'a', 1), new Asked(bridge, 'b', 1)]
    two.cancel()
    await Promise.resolve()
    expect([one.results, two.results]).toEqual([failed('not-loaded'), []])
  })

  it('tells a question that has no answer, and goes on with the others', async () => {
    const warned = vi.spyOn(console, 'warn').mockImplementation(() => undefined)
    const { bridge, worker } = scripted(TOY_ANSWERERS)
    const results: unknown[] = []
    const settled = (result: unknown) => results.push(result)
    bridge.ask('stumble', null, { settled })
    bridge.ask('missing', null, { settled })
    const one = new Asked(bridge, 'a', 1)
    await worker(0).answers()
    expect(results).toEqual([...failed('broken'), ...failed('not-loaded')])
    expect(one.results).toEqual(answered('a', 1))
    expect(warned).toHaveBeenCalledOnce()
  })

  it('asks nothing that cannot be sent', () => {
    const { bridge, worker } = scripted(TOY_ANSWERERS)
    const settled = () => expect.unreachable()
    expect(() =>
      bridge.ask('count', { name: 'a', to: (() => 1) as unknown as number }, { settled }),
    ).toThrow()
    worker(0).dies()
  })

  it('ends without a word', async () => {
    const { bridge, worker } = scripted(TOY_ANSWERERS)
    const one = new Asked(bridge, 'a', 3)
    await worker(0).hears()
    bridge.end()
    worker(0).tells()
    expect([worker(0).ended, one.progress, one.results]).toEqual([true, [], []])
  })

  describe('by the clock', () => {
    it('lets a worker go that does not hear that it is to stop', () => {
      vi.useFakeTimers()
      const { bridge, worker } = scripted(TOY_ANSWERERS)
      new Asked(bridge, 'a', 1).cancel()
      vi.advanceTimersByTime(200)
      expect(worker(0).ended).toBe(false)
      vi.advanceTimersByTime(100)
      expect(worker(0).ended).toBe(true)
    })

    it('but not while somebody waits for another answer of it', () => {
      vi.useFakeTimers()
      const { bridge, worker } = scripted(TOY_ANSWERERS)
      const kept = new Asked(bridge, 'kept', 1)
      new Asked(bridge, 'a', 1).cancel()
      vi.advanceTimersByTime(10_000)
      expect(worker(0).ended).toBe(false)
      kept.cancel()
      expect(worker(0).ended).toBe(true)
    })
  })

  it('keeps its word, whatever is asked, cancelled, heard, told and broken in which order', async () => {
    // However long a busy machine takes, no worker is let go for that.
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
    vi.spyOn(console, 'warn').mockImplementation(() => undefined)
    const arbStep = fc.oneof(
      { weight: 4, arbitrary: fc.record({ do: fc.constant('ask' as const), at: fc.nat(4) }) },
      {
        weight: 8,
        arbitrary: fc.record({ do: fc.constantFrom('hear' as const, 'tell' as const), at: fc.nat(3) }),
      },
      { weight: 3, arbitrary: fc.record({ do: fc.constant('cancel' as const), at: fc.nat(6) }) },
      {
        weight: 2,
        arbitrary: fc.record({ do: fc.constantFrom('die' as const, 'end' as const), at: fc.nat(3) }),
      },
    )
    let died = 0
    await fc.assert(
      fc.asyncProperty(fc.array(arbStep, { maxLength: 30 }), async (steps) => {
        const { bridge, workers, allAnswer } = scripted(TOY_ANSWERERS)
        const all: (Asked & { to?: number })[] = []
        const counts: number[] = []
        /** Which worker each was asked of. */
        const lanes: number[] = []
        const mayFail = new Set<Asked>()
        const ended = new Set<Asked>()
        const isOpen = (one: Asked) => one.results.length === 0 && !one.cancelled && !ended.has(one)
        for (const { do: what, at } of steps) {
          const worker = workers[at % Math.max(1, workers.length)]
          if (what === 'ask') {
            all.push(new Asked(bridge, `q${all.length}`, at))
            counts.push(at)
            lanes.push(workers.findLastIndex(({ ended: gone }) => !gone))
          } else if (what === 'cancel') all[at]?.cancel()
          else if (what === 'hear') await worker?.hears()
          else if (what === 'tell') worker?.tells()
          else if (what === 'end') {
            for (const one of all) if (isOpen(one)) ended.add(one)
            bridge.end()
          } else if (worker && !worker.ended) {
            const its = all.filter((one, k) => isOpen(one) && workers[lanes[k] ?? -1] === worker)
            const others = all.filter((one) => isOpen(one) && !its.includes(one))
            its.forEach((one) => mayFail.add(one))
            worker.dies()
            if (its.length > 0) died++
            // Exactly its open questions.
            expect(its.map(({ results }) => results[0]?.ok)).toEqual(its.map(() => false))
            expect(others.map(({ results }) => results.length)).toEqual(others.map(() => 0))
          }
        }
        await allAnswer()
        all.forEach((one, k) => {
          const { name, progress, results } = one
          const to = counts[k] ?? 0
          for (const told of progress) expect(told.name).toBe(name)
          expect(progress.map(({ at }) => at)).toEqual(progress.map((_, step) => step + 1))
          if (one.cancelled || ended.has(one)) return expect(results).toEqual([])
          if (mayFail.has(one)) return expect(results).toHaveLength(1)
          expect(results).toEqual(answered(name, to))
          expect(progress).toHaveLength(to)
        })
        bridge.end()
        expect(workers.every((worker) => worker.ended)).toBe(true)
      }),
      { numRuns: draws(400) },
    )
    expect(died).toBeGreaterThan(often(10))
  })
})
