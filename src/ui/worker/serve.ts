import { setLanguage } from '../../words/texts.ts'
import type { Answerer, Answerers } from './answerer.ts'
import type { Exchange, Exchanges, FromWorker, ToWorker } from './messages.ts'

/** How long a worker goes on before it looks at its messages, and how often it tells more of the same progress. */
const BREATH_MS = 50

const breath = (): Promise<void> => new Promise((resolve) => setTimeout(resolve))

/**
 * The side of the bridge that works: gives what takes the messages to a worker.
 *
 * @param post sends to the page; throws where a message cannot be cloned
 * @param nowMs a clock that never goes back
 */
export function serve<T extends Exchanges<T>>(
  answerers: Answerers<T>,
  post: (message: FromWorker<T>) => void,
  nowMs = (): number => performance.now(),
): (message: ToWorker<T>) => void {
  /** Questions that still want an answer. */
  const wanted = new Set<number>()

  async function answer({ id, name, question }: Extract<ToWorker<T>, { kind: 'ask' }>): Promise<void> {
    let answerer: Answerer<Exchange>
    try {
      // Name and question belong together, which the types of the table cannot tell.
      answerer = (await answerers[name]()) as unknown as Answerer<Exchange>
    } catch {
      return post({ kind: 'failed', id, fault: 'not-loaded' })
    }
    try {
      await work(id, answerer(question))
    } catch (cause) {
      // The page says that it failed; whoever looks for the reason finds it here.
      console.warn(cause)
      post({ kind: 'failed', id, fault: 'broken' })
    }
  }

  async function work(id: number, steps: ReturnType<Answerer<Exchange>>): Promise<void> {
    let toldMs = nowMs()
    let breathedMs = toldMs
    let told: string | null = null
    while (wanted.has(id)) {
      const step = await steps.next()
      if (step.done) return post({ kind: 'answer', id, answer: step.value })
      const atMs = nowMs()
      const { kind } = step.value
      if (kind !== told || atMs - toldMs >= BREATH_MS) {
        post({ kind: 'progress', id, progress: step.value })
        told = kind
        toldMs = atMs
      }
      if (atMs - breathedMs < BREATH_MS) continue
      await breath()
      breathedMs = nowMs()
    }
    await steps.return(undefined)
    post({ kind: 'cancelled', id })
  }

  post({ kind: 'ready' })
  return (message) => {
    if (message.kind === 'speak') setLanguage(message.language)
    else if (message.kind === 'cancel') wanted.delete(message.id)
    else {
      wanted.add(message.id)
      void answer(message).finally(() => wanted.delete(message.id))
    }
  }
}
