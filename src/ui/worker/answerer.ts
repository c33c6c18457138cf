import type { Exchange, Exchanges } from './messages.ts'

/** Answers questions of one kind in steps; a step should take no longer than a tenth of a second, so that it can be cancelled. */
export type Answerer<E extends Exchange> = (
  question: E['question'],
) => Generator<E['progress'], E['answer']> | AsyncGenerator<E['progress'], E['answer']>

/** Fetches what answers each kind of question, when the first of that kind comes. */
export type Answerers<T extends Exchanges<T>> = { readonly [K in keyof T]: () => Promise<Answerer<T[K]>> }
