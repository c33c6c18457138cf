import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { TitleEntry } from '../../../src/shelf/entry.ts'
import { Judge } from '../../../src/ui/judging/judge-all.ts'
import type { JudgeInput } from '../../../src/ui/judging/judgements.ts'
import { answering } from '../../../src/ui/judging/judge-messages.ts'
import { JudgePool, workersFor } from '../../../src/ui/judging/judge-pool.ts'
import { newTitle } from '../../../src/ui/titles/new-title.ts'
import type { Answerers } from '../../../src/ui/worker/answerer.ts'
import { ANSWERERS } from '../../../src/ui/worker/answerers.ts'
import { Bridge } from '../../../src/ui/worker/bridge.ts'
import type { Questions } from '../../../src/ui/worker/questions.ts'
import { ScriptedWorker } from '../worker/scripted-worker.ts'

const title = (id: string, standard = newTitle(id).standard): TitleEntry => ({
  kind: 'title',
  id,
  revision: 1,
  place: 0,
  origin: 'own',
  document: { ...newTitle(id), standard },
})
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const titles = ['a', 'b', 'c'].map((id) => title(id))
const input = (profile: keyof typeof BUILT_IN_PROFILES, of = titles): JudgeInput => ({
  profile: BUILT_IN_PROFILES[profile],
  titles: of,
  options,
})

/** Each worker keeps titles of its own, as it does in a thread of its own. */
const answerers = (): Answerers<Questions> => {
  const answer = answering()
  return { ...ANSWERERS, judge: async () => answer }
}

function pool(size: number) {
  const workers: ScriptedWorker<Questions>[] = []
  const answers: JudgeInput[] = []
  const judges = new JudgePool(
    size,
    () =>
      new Bridge<Questions>(() => {
        const worker = new ScriptedWorker(answerers())
        workers.push(worker)
        return worker
      }),
    (judgements, answered) => {
      const here = answered.titles.map(({ id, document }) => [
        id,
        judge(answered.profile, document, answered.options),
      ])
      expect([...judgements]).toEqual(here)
      answers.push(answered)
    },
  )
  const asked = () =>
    workers.map(({ sent }) =>
      sent.flatMap((message) =>
        message.kind === 'ask' && message.name === 'judge' ? [message.question] : [],
      ),
    )
  /** Until nothing more is answered. */
  const answerAll = async (want = 1) => {
    for (const before = answers.length; answers.length < before + want;) {
      for (const worker of workers) await worker.answers()
      await new Promise((resolve) => setTimeout(resolve))
    }
  }
  return { workers, asked, answers, judges, answerAll }
}

describe('the pool of workers', () => {
  it('asks one question at a time and keeps the latest next one only', async () => {
    const { asked, answers, judges, answerAll } = pool(2)
    const inputs = [input('six-button'), input('three-button'), input('six-button-one-cycle')] as const
    for (const one of inputs) judges.ask(one)
    expect(asked().map(({ length }) => length)).toEqual([1, 1])
    await answerAll(2)
    expect(asked().map((all) => all.map(({ profile }) => profile.name))).toEqual([
      ['Six buttons', 'Six buttons, one cycle'],
      ['Six buttons', 'Six buttons, one cycle'],
    ])
    expect(answers).toEqual([inputs[0], inputs[2]])
  })

  it('answers when all of its workers have, and not before', async () => {
    const { workers, answers, judges, answerAll } = pool(2)
    judges.ask(input('six-button'))
    const [first] = workers
    for (let turn = 0; turn < 20; turn++) await first?.answers()
    expect(answers).toEqual([])
    await answerAll()
    expect(answers).toHaveLength(1)
  })

  it('divides titles evenly, sends each once, and again when it has changed', async () => {
    const { asked, judges, answerAll } = pool(2)
    const sent = () => asked().map((all) => all.at(-1)?.titles.map(({ id }) => id))
    judges.ask(input('six-button'))
    await answerAll()
    expect(sent()).toEqual([['a', 'c'], ['b']])
    judges.ask(input('three-button'))
    await answerAll()
    expect(sent()).toEqual([[], []])
    judges.ask(input('three-button', [title('c', '625-line'), ...titles.slice(0, 2)]))
    expect(sent()).toEqual([['c'], []])
  })

  it('starts no worker that would have nothing to do, and answers a question about no titles', async () => {
    const { workers, answers, judges, answerAll } = pool(8)
    judges.ask(input('six-button', []))
    expect(answers).toHaveLength(1)
    judges.ask(input('six-button'))
    expect(workers).toHaveLength(3)
    await answerAll()
    expect(answers).toHaveLength(2)
  })

  it('judges here when a worker cannot be loaded', () => {
    const { workers, answers, judges } = pool(2)
    judges.ask(input('six-button'))
    judges.ask(input('three-button'))
    workers[1]?.dies()
    expect(workers.map(({ ended }) => ended)).toEqual([true, true])
    judges.ask(input('six-button-one-cycle'))
    expect(answers.map(({ profile }) => profile.name)).toEqual(['Three buttons', 'Six buttons, one cycle'])
  })

  it('answers the last question, whatever is asked and answered in which order', async () => {
    const profiles = ['six-button', 'three-button', 'six-button-one-cycle'] as const
    const arbAsk = fc.record({
      profile: fc.constantFrom(...profiles),
      ids: fc.uniqueArray(fc.constantFrom('a', 'b', 'c', 'd', 'e')),
      standard: fc.constantFrom('525-line' as const, '625-line' as const),
    })
    const arbStep = fc.oneof(arbAsk, fc.nat(2))
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 1, max: 3 }),
        fc.array(arbStep, { maxLength: 12 }),
        async (size, steps) => {
          const { workers, asked, answers, judges } = pool(size)
          let last: JudgeInput | undefined
          for (const step of steps) {
            if (typeof step === 'number') await workers[step]?.answers()
            else {
              last = input(
                step.profile,
                step.ids.map((id) => title(id, step.standard)),
              )
              judges.ask(last)
            }
          }
          while (answers.at(-1) !== last) {
            for (const worker of workers) await worker.answers()
            await new Promise((resolve) => setTimeout(resolve))
          }
          expect(answers.at(-1)).toBe(last)
          const most = Math.max(0, ...asked().flatMap((all) => all.map(({ ids }) => ids.length)))
          expect(most).toBeLessThanOrEqual(5)
          expect(workers.length).toBeLessThanOrEqual(size)
        },
      ),
      { numRuns: 60 },
    )
  })

  it('has as many workers as there are cores, one to four', () => {
    expect([0, 1, 2, 4, 64].map(workersFor)).toEqual([1, 1, 2, 4, 4])
  })
})

describe('judging on the spot', () => {
  it('says what the bench says, and judges again only what has changed', () => {
    const onTheSpot = new Judge()
    const first = onTheSpot.all(input('six-button'))
    expect(first.get('a')).toEqual(judge(BUILT_IN_PROFILES['six-button'], title('a').document, options))
    const edited = [title('a'), ...titles.slice(1)]
    const second = onTheSpot.all(input('six-button', edited))
    expect(second.get('b')).toBe(first.get('b'))
    expect(second.get('a')).not.toBe(first.get('a'))
  })
})
