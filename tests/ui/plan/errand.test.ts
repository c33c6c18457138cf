import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { Errand } from '../../../src/ui/plan/errand.svelte.ts'
import type { ErrandWorker } from '../../../src/ui/plan/errand.svelte.ts'

/** Stands where the browser's worker stands, and answers when the test says so. */
class Post implements ErrandWorker<string, number> {
  readonly asked: string[] = []
  onmessage: ErrandWorker<string, number>['onmessage'] = null
  onerror: ErrandWorker<string, number>['onerror'] = null
  ended = false

  postMessage(question: string): void {
    this.asked.push(question)
  }
  terminate(): void {
    this.ended = true
  }
  answer(data: number): void {
    // As the HTML standard has it (workers, "terminate a worker"): nothing that an ended one posts arrives.
    if (!this.ended) this.onmessage?.(new MessageEvent('message', { data }))
  }
}

function errand() {
  const posts: Post[] = []
  const one = new Errand<string, number>(() => {
    const post = new Post()
    posts.push(post)
    return post
  })
  return { one, posts }
}

describe('an errand', () => {
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())

  it('brings the answer to what was asked, and keeps its worker', () => {
    const { one, posts } = errand()
    one.ask('a')
    expect(one.state).toBe('running')
    posts[0]?.answer(1)
    expect([one.state, one.last]).toEqual(['idle', { question: 'a', answer: 1 }])
    one.ask('b')
    expect(one.last).toEqual({ question: 'a', answer: 1 })
    posts[0]?.answer(2)
    expect([posts.length, one.last]).toEqual([1, { question: 'b', answer: 2 }])
  })

  it('lets a worker go that is at work on what nobody wants any more', () => {
    const { one, posts } = errand()
    one.ask('a')
    one.ask('b')
    expect([posts.length, posts[0]?.ended]).toEqual([2, true])
    posts[0]?.answer(1)
    expect(one.last).toBeNull()
    posts[1]?.answer(2)
    expect(one.last).toEqual({ question: 'b', answer: 2 })
  })

  it('keeps the last answer when it is called off, and forgets it when it is cleared', () => {
    const { one, posts } = errand()
    one.ask('a')
    posts[0]?.answer(1)
    one.ask('b')
    one.cancel()
    expect([one.state, posts[0]?.ended, one.last?.answer]).toEqual(['idle', true, 1])
    one.ask('c')
    expect(posts[1]?.asked).toEqual(['c'])
    one.clear()
    expect([posts[1]?.ended, one.last]).toEqual([true, null])
  })

  it('says that it takes long when it does, and only while it does', () => {
    const { one, posts } = errand()
    one.ask('a')
    vi.advanceTimersByTime(290)
    expect(one.isSlow).toBe(false)
    vi.advanceTimersByTime(20)
    expect(one.isSlow).toBe(true)
    posts[0]?.answer(1)
    expect(one.isSlow).toBe(false)
    one.ask('b')
    one.cancel()
    vi.advanceTimersByTime(1_000)
    expect(one.isSlow).toBe(false)
  })

  it('fails when its worker does, and asks a new one next time', () => {
    const { one, posts } = errand()
    one.ask('a')
    posts[0]?.onerror?.({} as ErrorEvent)
    expect([one.state, posts[0]?.ended]).toEqual(['failed', true])
    one.ask('b')
    posts[1]?.answer(2)
    expect([one.state, one.last?.answer]).toEqual(['idle', 2])
  })

  it('leaves no worker behind', () => {
    const { one, posts } = errand()
    one.ask('a')
    posts[0]?.answer(1)
    one.end()
    expect(posts.map(({ ended }) => ended)).toEqual([true])
  })
})
