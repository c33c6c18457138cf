import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { TitleEntry } from '../../../src/shelf/entry.ts'
import { Judge } from '../../../src/ui/judging/judge-all.ts'
import type { JudgeInput } from '../../../src/ui/judging/judgements.ts'
import { answering } from '../../../src/ui/judging/judge-messages.ts'
import type { JudgeRequest } from '../../../src/ui/judging/judge-messages.ts'
import { JudgePool, workersFor } from '../../../src/ui/judging/judge-pool.ts'
import type { WorkerLike } from '../../../src/ui/judging/judge-pool.ts'
import { NEW_TITLE } from '../../../src/ui/titles/title-presets.ts'

const title = (id: string, standard = NEW_TITLE.standard): TitleEntry => ({
  kind: 'title',
  id,
  revision: 1,
  place: 0,
  origin: 'own',
  document: { ...NEW_TITLE, name: id, standard },
})
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const titles = ['a', 'b', 'c'].map((id) => title(id))
const input = (profile: keyof typeof BUILT_IN_PROFILES, of = titles): JudgeInput => ({
  profile: BUILT_IN_PROFILES[profile],
  titles: of,
  options,
})

/** Stands where a worker stands: what is asked is seen, and answered when the test says so. */
class Post implements WorkerLike {
  readonly asked: JudgeRequest[] = []
  readonly #answer = answering()
  onmessage: WorkerLike['onmessage'] = null
  onerror: WorkerLike['onerror'] = null
  ended = false
  #waiting: JudgeRequest | null = null

  postMessage(request: JudgeRequest): void {
    if (this.#waiting) throw new Error('one question at a time')
    this.#waiting = structuredClone(request)
    this.asked.push(this.#waiting)
  }
  terminate(): void {
    this.ended = true
  }
  get isWaiting(): boolean {
    return this.#waiting !== null
  }
  answer(): void {
    const request = this.#waiting
    this.#waiting = null
    if (request) this.onmessage?.({ data: structuredClone(this.#answer(request)) })
  }
}

function pool(size: number) {
  const posts: Post[] = []
  const answers: JudgeInput[] = []
  const workers = new JudgePool(
    size,
    () => {
      const post = new Post()
      posts.push(post)
      return post
    },
    (judgements, answered) => {
      const here = answered.titles.map(({ id, document }) => [
        id,
        judge(answered.profile, document, answered.options),
      ])
      expect([...judgements]).toEqual(here)
      answers.push(answered)
    },
  )
  const answerAll = () => posts.forEach((post) => post.answer())
  return { posts, answers, workers, answerAll }
}

describe('the pool of workers', () => {
  it('asks one question at a time and keeps the latest next one only', () => {
    const { posts, answers, workers, answerAll } = pool(2)
    const inputs = [input('six-button'), input('three-button'), input('six-button-one-cycle')] as const
    for (const one of inputs) workers.ask(one)
    expect(posts.map(({ asked }) => asked.length)).toEqual([1, 1])
    posts[0]?.answer()
    expect(answers).toEqual([])
    posts[1]?.answer()
    expect(posts.map(({ asked }) => asked.map(({ profile }) => profile.name))).toEqual([
      ['Six buttons', 'Six buttons, one cycle'],
      ['Six buttons', 'Six buttons, one cycle'],
    ])
    answerAll()
    expect(answers).toEqual([inputs[0], inputs[2]])
  })

  it('divides titles evenly, sends each once, and again when it has changed', () => {
    const { posts, workers, answerAll } = pool(2)
    const sent = () => posts.map(({ asked }) => asked.at(-1)?.titles.map(({ id }) => id))
    workers.ask(input('six-button'))
    answerAll()
    expect(sent()).toEqual([['a', 'c'], ['b']])
    workers.ask(input('three-button'))
    answerAll()
    expect(sent()).toEqual([[], []])
    workers.ask(input('three-button', [title('c', '625-line'), ...titles.slice(0, 2)]))
    expect(sent()).toEqual([['c'], []])
  })

  it('starts no worker that would have nothing to do, and answers a question about no titles', () => {
    const { posts, answers, workers, answerAll } = pool(8)
    workers.ask(input('six-button', []))
    expect(answers).toHaveLength(1)
    workers.ask(input('six-button'))
    expect(posts).toHaveLength(3)
    answerAll()
    expect(answers).toHaveLength(2)
  })

  it('judges here when a worker cannot be loaded', () => {
    const { posts, answers, workers } = pool(2)
    workers.ask(input('six-button'))
    workers.ask(input('three-button'))
    posts[1]?.onerror?.()
    expect(posts.map(({ ended }) => ended)).toEqual([true, true])
    workers.ask(input('six-button-one-cycle'))
    expect(answers.map(({ profile }) => profile.name)).toEqual(['Three buttons', 'Six buttons, one cycle'])
  })

  it('answers the last question, whatever is asked and answered in which order', () => {
    const profiles = ['six-button', 'three-button', 'six-button-one-cycle'] as const
    const arbAsk = fc.record({
      profile: fc.constantFrom(...profiles),
      ids: fc.uniqueArray(fc.constantFrom('a', 'b', 'c', 'd', 'e')),
      standard: fc.constantFrom('525-line' as const, '625-line' as const),
    })
    const arbStep = fc.oneof(arbAsk, fc.nat(2))
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 3 }), fc.array(arbStep, { maxLength: 12 }), (size, steps) => {
        const { posts, answers, workers, answerAll } = pool(size)
        let last: JudgeInput | undefined
        for (const step of steps) {
          if (typeof step === 'number') posts[step]?.answer()
          else {
            last = input(
              step.profile,
              step.ids.map((id) => title(id, step.standard)),
            )
            workers.ask(last)
          }
        }
        while (posts.some((post) => post.isWaiting)) answerAll()
        expect(answers.at(-1)).toBe(last)
        const most = Math.max(0, ...posts.flatMap(({ asked }) => asked.map(({ ids }) => ids.length)))
        expect(most).toBeLessThanOrEqual(5)
        expect(posts.length).toBeLessThanOrEqual(size)
      }),
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
