import type { Language } from '../../words/texts.ts'

/** What one kind of question is about. What a question, its progress and its answer hold can be cloned. */
export interface Exchange {
  readonly question: unknown
  /** Progress of one kind is told now and then only; the first of a kind at once. */
  readonly progress: { readonly kind: string }
  readonly answer: unknown
}

/** Kinds of question, by name. */
export type Exchanges<T> = { readonly [K in keyof T]: Exchange }

export type ToWorker<T extends Exchanges<T>> =
  | {
      [K in keyof T]: {
        readonly kind: 'ask'
        readonly id: number
        readonly name: K
        readonly question: T[K]['question']
      }
    }[keyof T]
  | { readonly kind: 'cancel'; readonly id: number }
  /** Before all else, where another language than English is spoken: answers have sentences in them. */
  | { readonly kind: 'speak'; readonly language: Language }

/** After `ready`, for each question any number of `progress` and then exactly one of the others. */
export type FromWorker<T extends Exchanges<T>> =
  /** The script of the worker runs. */
  | { readonly kind: 'ready' }
  | { readonly kind: 'progress'; readonly id: number; readonly progress: T[keyof T]['progress'] }
  | { readonly kind: 'answer'; readonly id: number; readonly answer: T[keyof T]['answer'] }
  | { readonly kind: 'failed'; readonly id: number; readonly fault: WorkFault }
  | { readonly kind: 'cancelled'; readonly id: number }

/**
 * Why there is no answer.
 * - `not-loaded`: the worker, or the code that answers, could not be fetched or started
 * - `broken`: the work has ended in the midst, for want of memory or by a mistake in it
 */
export type WorkFault = 'not-loaded' | 'broken'
