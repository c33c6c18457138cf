import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { answerQuestion } from '../../../src/ui/fix/answer-question.ts'
import { FixBridge } from '../../../src/ui/fix/fix-bridge.ts'
import type { FixState, FixWorker } from '../../../src/ui/fix/fix-bridge.ts'
import type { FixNews, FixQuestion } from '../../../src/ui/fix/fix-messages.ts'
import { demo, options } from './examples.ts'

const copper = demo('copper-kite-rally')
const question = (profile: keyof typeof BUILT_IN_PROFILES = 'six-button'): FixQuestion => ({
  profile: BUILT_IN_PROFILES[profile],
  titles: [copper],
  others: [],
  options,
})

/** Stands where the browser's worker stands, and says what the test makes it say. */
class Post implements FixWorker {
  readonly asked: FixQuestion[] = []
  onmessage: FixWorker['onmessage'] = null
  onerror: FixWorker['onerror'] = null
  ended = false

  postMessage(asked: FixQuestion): void {
    this.asked.push(structuredClone(asked))
  }
  terminate(): void {
    this.ended = true
  }
  say(data: FixNews): void {
    this.onmessage?.({ data } as MessageEvent<FixNews>)
  }
  answer(): void {
    const asked = this.asked.at(-1)
    if (asked)
      answerQuestion(
        asked,
        (news) => this.say(structuredClone(news)),
        () => 0,
      )
  }
}

function bridge() {
  const posts: Post[] = []
  const heard: { state: FixState; question: FixQuestion }[] = []
  const it = new FixBridge(
    () => {
      const post = new Post()
      posts.push(post)
      return post
    },
    (state, asked) => heard.push({ state, question: asked }),
  )
  const post = (k: number): Post => {
    const one = posts[k]
    if (!one) throw new Error(`worker ${k} was never started`)
    return one
  }
  return { posts, post, heard, kinds: () => heard.map(({ state }) => state.kind), bridge: it }
}

describe('the bridge to the worker that looks for fixes', () => {
  it('tells how far it is, what was found, and then what that does to other titles', () => {
    const { post, heard, kinds, bridge: fixes } = bridge()
    fixes.ask(question())
    post(0).say({ kind: 'tried', tried: 640 })
    expect(heard.at(-1)?.state).toEqual({ kind: 'searching', tried: 640 })
    post(0).answer()
    expect(kinds()).toEqual(['searching', 'searching', 'found', 'found'])
    expect(heard[2]?.state).toMatchObject({ worse: null })
    expect(heard[3]?.state).toMatchObject({ worse: [[], []] })
  })

  it('keeps a worker that has answered, and asks nothing twice', () => {
    const { posts, post, bridge: fixes } = bridge()
    fixes.ask(question())
    post(0).answer()
    fixes.ask(question())
    fixes.ask({ ...question(), options: structuredClone(options) })
    expect(post(0).asked).toHaveLength(1)
    fixes.ask(question('three-button'))
    expect(post(0).asked.map(({ profile }) => profile.name)).toEqual(['Six buttons', 'Three buttons'])
    expect(posts).toHaveLength(1)
  })

  it('asks again when anything differs that the answer rests on', () => {
    const { post, bridge: fixes } = bridge()
    const first = question()
    const moths = demo('nine-moths')
    const others: FixQuestion[] = [
      { ...first, options: { ...options, marginNs: 500 } },
      { ...first, options: { ...options, adapter: { ...options.adapter, clockPpm: 1_000 } } },
      { ...first, titles: [moths] },
      { ...first, titles: [copper, moths] },
      { ...first, others: [moths] },
    ]
    // Back to the first in between, so that each differs in one thing from what was asked before.
    const all = others.flatMap((other) => [first, other])
    for (const one of all) {
      fixes.ask(one)
      post(0).say({ kind: 'worse', worse: [] })
    }
    expect(post(0).asked).toEqual(all)
  })

  it('lets a newer question take the place of one that is being looked at', () => {
    const { posts, post, heard, bridge: fixes } = bridge()
    fixes.ask(question())
    post(0).say({ kind: 'tried', tried: 640 })
    fixes.ask(question('three-button'))
    expect([posts.length, post(0).ended]).toEqual([2, true])
    expect(heard.at(-1)).toMatchObject({
      state: { kind: 'searching', tried: 0 },
      question: question('three-button'),
    })
    // What the first one had sent before it was let go.
    const before = heard.length
    post(0).answer()
    expect(heard).toHaveLength(before)
    post(1).answer()
    expect(heard.at(-1)?.question.profile.name).toBe('Three buttons')
  })

  it('lets a newer question in while the other titles are still being judged', () => {
    const { posts, post, bridge: fixes } = bridge()
    fixes.ask(question())
    post(0).say({ kind: 'found', outcome: { now: [], fixes: [], tried: 0, isWhole: false } })
    fixes.ask(question('three-button'))
    expect([posts.length, post(0).ended]).toEqual([2, true])
  })

  it('stops, says how far it was, and begins anew when asked to', () => {
    const { posts, post, heard, bridge: fixes } = bridge()
    fixes.ask(question())
    post(0).say({ kind: 'tried', tried: 128 })
    fixes.stop()
    expect(post(0).ended).toBe(true)
    expect(heard.at(-1)?.state).toEqual({ kind: 'stopped', tried: 128 })
    fixes.ask(question())
    expect(posts).toHaveLength(1)
    fixes.again()
    post(1).answer()
    expect(heard.at(-1)?.state.kind).toBe('found')
    fixes.stop()
    expect(heard.at(-1)?.state.kind).toBe('found')
  })

  it('says so when the worker cannot be had, and tries once more when asked to', () => {
    const { post, heard, bridge: fixes } = bridge()
    fixes.ask(question())
    post(0).onerror?.({} as ErrorEvent)
    expect(heard.at(-1)?.state).toEqual({ kind: 'failed' })
    fixes.again()
    post(1).answer()
    expect(heard.at(-1)?.state.kind).toBe('found')
  })

  it('ends with the page that asked', () => {
    const { post, heard, bridge: fixes } = bridge()
    fixes.ask(question())
    fixes.end()
    const before = heard.length
    post(0).answer()
    expect([post(0).ended, heard.length]).toEqual([true, before])
  })
})
