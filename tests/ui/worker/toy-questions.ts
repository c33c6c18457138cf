/* eslint require-yield: off -- some questions have no progress */

import type { Answerers } from '../../../src/ui/worker/answerer.ts'

/** Questions for the tests of the bridge. */
export interface ToyQuestions {
  /** Says so many numbers on the way, and then the name and the last of them. */
  count: {
    question: { readonly name: string; readonly to: number; readonly same?: boolean }
    progress: { readonly kind: 'odd' | 'even'; readonly name: string; readonly at: number }
    answer: { readonly name: string; readonly counted: number }
  }
  /** Throws. */
  stumble: { question: null; progress: never; answer: null }
  /** Is not there. */
  missing: { question: null; progress: never; answer: null }
  /** Works for so long without a step. */
  deaf: { question: { readonly ms: number }; progress: { readonly kind: 'begun' }; answer: number }
  /** Works for so long, a millisecond a step, and leaves a mark when it is left. */
  long: {
    question: { readonly ms: number }
    progress: { readonly kind: 'step'; readonly at: number }
    answer: number
  }
  /** How often `long` was left, in this worker. */
  left: { question: null; progress: never; answer: number }
  /** How many bytes have come. */
  weigh: { question: Uint8Array; progress: never; answer: number }
  /** Ends the worker that is asked. */
  die: { question: null; progress: never; answer: null }
}

let timesLeft = 0

const busy = (ms: number): void => {
  for (const until = performance.now() + ms; performance.now() < until;);
}

export const TOY_ANSWERERS: Answerers<ToyQuestions> = {
  count: async () =>
    function* ({ name, to, same }) {
      for (let at = 1; at <= to; at++) yield { kind: same || at % 2 === 0 ? 'even' : 'odd', name, at }
      return { name, counted: to }
    },
  stumble: async () =>
    function* () {
      throw new Error('stumbled')
    },
  missing: () => Promise.reject(new TypeError('no such script')),
  deaf: async () =>
    function* ({ ms }) {
      yield { kind: 'begun' }
      busy(ms)
      return ms
    },
  long: async () =>
    function* ({ ms }) {
      let done = false
      try {
        for (let at = 0; at < ms; at++) {
          busy(1)
          yield { kind: 'step', at }
        }
        done = true
        return ms
      } finally {
        if (!done) timesLeft++
      }
    },
  left: async () =>
    function* () {
      return timesLeft
    },
  weigh: async () =>
    function* (bytes) {
      return bytes.length
    },
  die: async () => () => {
    // In a thread of its own this ends the thread and nothing else.
    process.exit(7)
  },
}
