import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { KeptTitle } from '../../../src/shelf/kept.ts'
import { Judge } from '../../../src/ui/judging/judge-all.ts'
import type { JudgeInput } from '../../../src/ui/judging/judge-all.ts'
import type { JudgeRequest } from '../../../src/ui/judging/judge-messages.ts'
import { JudgeWorker } from '../../../src/ui/judging/judge-worker.ts'
import type { WorkerLike } from '../../../src/ui/judging/judge-worker.ts'
import { NEW_TITLE } from '../../../src/ui/titles/title-presets.ts'

const title = (id: string): KeptTitle => ({
  kind: 'title',
  id,
  revision: 1,
  place: 0,
  origin: 'own',
  document: { ...NEW_TITLE, name: id },
})
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const titles = ['a', 'b'].map(title)
const input = (profile: keyof typeof BUILT_IN_PROFILES, of = titles): JudgeInput => ({
  profile: BUILT_IN_PROFILES[profile],
  titles: of,
  options,
})

/** Stands where the browser's worker stands: what is asked is seen, and answered when the test says so. */
class Post implements WorkerLike {
  readonly asked: JudgeRequest[] = []
  onmessage: WorkerLike['onmessage'] = null
  onerror: WorkerLike['onerror'] = null
  ended = false

  postMessage(request: JudgeRequest): void {
    this.asked.push(structuredClone(request))
  }
  terminate(): void {
    this.ended = true
  }
  answer(): void {
    const { profile, ids } = this.asked.at(-1) ?? { profile: BUILT_IN_PROFILES['six-button'], ids: [] }
    const data = ids.map((id) => [id, judge(profile, title(id).document, options)] as const)
    this.onmessage?.({ data } as unknown as MessageEvent)
  }
}

function bridge() {
  const post = new Post()
  const answers: JudgeInput[] = []
  const worker = new JudgeWorker(
    () => post,
    (judgements, answered) => {
      expect([...judgements.keys()]).toEqual(answered.titles.map(({ id }) => id))
      answers.push(answered)
    },
  )
  return { post, answers, worker }
}

describe('the bridge to the worker', () => {
  it('asks one question at a time and keeps the latest next one only', () => {
    const { post, answers, worker } = bridge()
    const inputs = [input('six-button'), input('three-button'), input('six-button-one-cycle')] as const
    for (const one of inputs) worker.ask(one)
    expect(post.asked).toHaveLength(1)
    post.answer()
    expect(post.asked.map(({ profile }) => profile.name)).toEqual(['Six buttons', 'Six buttons, one cycle'])
    post.answer()
    expect(answers).toEqual([inputs[0], inputs[2]])
  })

  it('sends a title once, and again when it has changed', () => {
    const { post, worker } = bridge()
    worker.ask(input('six-button'))
    post.answer()
    worker.ask(input('three-button'))
    post.answer()
    worker.ask(input('three-button', [title('a'), ...titles.slice(1)]))
    expect(post.asked.map(({ titles: sent }) => sent.map(({ id }) => id))).toEqual([['a', 'b'], [], ['a']])
  })

  it('judges here when the worker cannot be loaded', () => {
    const { post, answers, worker } = bridge()
    worker.ask(input('six-button'))
    worker.ask(input('three-button'))
    post.onerror?.({} as ErrorEvent)
    expect(post.ended).toBe(true)
    worker.ask(input('six-button-one-cycle'))
    expect(answers.map(({ profile }) => profile.name)).toEqual(['Three buttons', 'Six buttons, one cycle'])
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
