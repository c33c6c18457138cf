import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Worker } from 'node:worker_threads'
import { build } from 'vite'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { answerFix } from '../../../src/bench/fix/answer.ts'
import { judge } from '../../../src/bench/judge.ts'
import { answerPlan } from '../../../src/bench/plan.ts'
import { answerSymptoms } from '../../../src/bench/symptoms.ts'
import { workToEnd } from '../../../src/port/steps-of-work.ts'
import type { Result } from '../../../src/port/result.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { Bridge } from '../../../src/ui/worker/bridge.ts'
import type { Exchanges, WorkFault } from '../../../src/ui/worker/messages.ts'
import type { Questions } from '../../../src/ui/worker/questions.ts'
import { setLanguage } from '../../../src/words/texts.ts'
import { demo, options } from '../fix/examples.ts'
import { pseudoLanguage } from '../../words/pseudo.ts'
import { likeWorker } from './thread.ts'
import type { ToyQuestions } from './toy-questions.ts'

/** The bridge with real workers: threads of Node, each with a heap and an event loop of its own. */

let folder: string

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'ninepin-threads-'))
  const here = (name: string) => fileURLToPath(new URL(`${name}.thread.ts`, import.meta.url))
  const input = { toy: here('toy'), app: here('app') }
  await build({
    configFile: false,
    logLevel: 'error',
    publicDir: false,
    ssr: { noExternal: true },
    build: {
      ssr: true,
      outDir: folder,
      rolldownOptions: { input, output: { entryFileNames: '[name].mjs' } },
    },
  })
  writeFileSync(join(folder, 'wrong.mjs'), 'this is no script')
}, 120_000)

afterAll(() => rmSync(folder, { recursive: true, force: true }))

const threads: Worker[] = []
const bridges: { end(): void }[] = []

function bridgeTo<T extends Exchanges<T>>(script: string, patienceMs?: number): Bridge<T> {
  const bridge = new Bridge<T>(() => {
    const thread = new Worker(join(folder, `${script}.mjs`))
    threads.push(thread)
    return likeWorker(thread)
  }, patienceMs)
  bridges.push(bridge)
  return bridge
}

afterEach(() => {
  for (const bridge of bridges.splice(0)) bridge.end()
  threads.length = 0
})

function asking<T extends Exchanges<T>, K extends keyof T>(
  bridge: Bridge<T>,
  name: K,
  question: T[K]['question'],
  transfer?: Transferable[],
) {
  const progress: T[K]['progress'][] = []
  let cancel = (): void => undefined
  let hasBegun = (): void => undefined
  const begun = new Promise<void>((resolve) => (hasBegun = resolve))
  const result = new Promise<Result<T[K]['answer'], WorkFault>>((resolve) => {
    const hearing = {
      progress: (one: T[K]['progress']) => {
        progress.push(one)
        hasBegun()
      },
      settled: resolve,
    }
    cancel = bridge.ask(name, question, hearing, transfer)
  })
  return { result, progress, begun, cancel: () => cancel() }
}

afterEach(() => setLanguage(null))

const once = (thread: Worker | undefined, event: string) =>
  new Promise<void>((resolve) => thread?.once(event, () => resolve()))

describe('the bridge to a real worker', () => {
  it('answers several questions at once, each with its own progress', async () => {
    const bridge = bridgeTo<ToyQuestions>('toy')
    const all = [3, 0, 7].map((to) => asking(bridge, 'count', { name: `to ${to}`, to }))
    const results = await Promise.all(all.map(({ result }) => result))
    expect(results.map((one) => one.ok && one.value)).toEqual([
      { name: 'to 3', counted: 3 },
      { name: 'to 0', counted: 0 },
      { name: 'to 7', counted: 7 },
    ])
    expect(all.map(({ progress }) => progress.map(({ at }) => at))).toEqual([
      [1, 2, 3],
      [],
      [1, 2, 3, 4, 5, 6, 7],
    ])
    expect(threads).toHaveLength(1)
  })

  it('answers a short question while it works on a long one', async () => {
    const bridge = bridgeTo<ToyQuestions>('toy')
    const long = asking(bridge, 'long', { ms: 60_000 })
    await long.begun
    expect(await asking(bridge, 'count', { name: 'short', to: 1 }).result).toMatchObject({ ok: true })
    expect(threads).toHaveLength(1)
  })

  it('leaves a cancelled question between two steps, and the worker stays', async () => {
    const bridge = bridgeTo<ToyQuestions>('toy', 3_600_000)
    const long = asking(bridge, 'long', { ms: 3_600_000 })
    await long.begun
    long.cancel()
    await new Promise<void>((resolve) =>
      threads[0]?.on('message', ({ kind }: { kind: string }) => {
        if (kind === 'cancelled') resolve()
      }),
    )
    const left = await asking(bridge, 'left', null).result
    expect([left, threads.length]).toEqual([{ ok: true, value: 1 }, 1])
  })

  it('ends a worker that does not hear, and answers the next question from another', async () => {
    const bridge = bridgeTo<ToyQuestions>('toy')
    const deaf = asking(bridge, 'deaf', { ms: 600_000 })
    await deaf.begun
    const ended = once(threads[0], 'exit')
    deaf.cancel()
    const next = await asking(bridge, 'count', { name: 'next', to: 0 }).result
    await ended
    expect([next.ok, threads.length]).toEqual([true, 2])
  })

  it('ends it, too, when nothing else is asked', async () => {
    const bridge = bridgeTo<ToyQuestions>('toy')
    const deaf = asking(bridge, 'deaf', { ms: 600_000 })
    await deaf.begun
    const ended = once(threads[0], 'exit')
    deaf.cancel()
    await ended
  })

  it('says which questions a worker took with it when it died', async () => {
    const [dying, living] = [bridgeTo<ToyQuestions>('toy'), bridgeTo<ToyQuestions>('toy')]
    const other = asking(living, 'long', { ms: 60_000 })
    const [long, fatal] = [asking(dying, 'long', { ms: 60_000 }), asking(dying, 'die', null)]
    const broken = { ok: false, error: 'broken' }
    expect(await Promise.all([long.result, fatal.result])).toEqual([broken, broken])
    await other.begun
    expect(await asking(dying, 'count', { name: 'after', to: 0 }).result).toMatchObject({ ok: true })
  })

  it.each(['wrong', 'absent'])('says that a script could not be loaded: %s', async (script) => {
    const bridge = bridgeTo<ToyQuestions>(script)
    expect(await asking(bridge, 'left', null).result).toEqual({ ok: false, error: 'not-loaded' })
  })

  it('hands over what is transferred', async () => {
    const bytes = new Uint8Array(1 << 20)
    const { result } = asking(bridgeTo<ToyQuestions>('toy'), 'weigh', bytes, [bytes.buffer])
    expect(bytes.length).toBe(0)
    expect(await result).toEqual({ ok: true, value: 1 << 20 })
  })
})

describe('the app’s questions, asked of a real worker', () => {
  const six = BUILT_IN_PROFILES['six-button']
  const titles = [demo('copper-kite-rally'), demo('nine-moths')]

  it('are answered as the bench answers them, all at once', async () => {
    const bridge = bridgeTo<Questions>('app')
    const fix = { profile: six, titles: titles.slice(0, 1), others: titles.slice(1), options }
    const plan = { profiles: Object.values(BUILT_IN_PROFILES), titles, options: { ...options, banks: 4 } }
    const symptom = { present: six, saw: ['walks' as const], options: { ...options, profiles: [] } }
    const kept = titles.map((document, k) => ({ id: `t${k}`, document }))
    const judged = { profile: six, options, ids: ['t0', 't1'], titles: kept }
    const [fixed, planned, explained, verdicts] = await Promise.all([
      asking(bridge, 'fix', fix).result,
      asking(bridge, 'plan', plan).result,
      asking(bridge, 'symptom', symptom).result,
      asking(bridge, 'judge', judged).result,
    ])
    expect(fixed).toEqual({ ok: true, value: workToEnd(answerFix(fix)) })
    expect(planned).toEqual({ ok: true, value: workToEnd(answerPlan(plan)) })
    expect(explained).toEqual({ ok: true, value: workToEnd(answerSymptoms(symptom)) })
    expect(verdicts).toEqual({
      ok: true,
      value: kept.map(({ id, document }) => [id, judge(six, document, options)]),
    })
    // It has the titles still.
    const again = await asking(bridge, 'judge', { ...judged, ids: ['t1'], titles: [] }).result
    expect(again).toEqual({ ok: true, value: [['t1', judge(six, titles[1] as (typeof titles)[1], options)]] })
    expect(threads).toHaveLength(1)
  })

  it('speaks the language of the page', async () => {
    setLanguage(pseudoLanguage())
    const judged = {
      profile: six,
      options,
      ids: ['t0'],
      titles: [{ id: 't0', document: demo('copper-kite-rally') }],
    }
    const result = await asking(bridgeTo<Questions>('app'), 'judge', judged).result
    expect(result).toMatchObject({ value: [['t0', { reason: expect.stringMatching(/^⟦.*⟧$/) as unknown }]] })
  })
})
