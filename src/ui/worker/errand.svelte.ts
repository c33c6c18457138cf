import type { Bridge } from './bridge.ts'
import type { WorkFault } from './messages.ts'
import type { Questions } from './questions.ts'

/** Below this nobody wants to be told that something is being worked out. */
const MOMENT_MS = 300

type Question<K extends keyof Questions> = Questions[K]['question']
type Answer<K extends keyof Questions> = Questions[K]['answer']
type Progress<K extends keyof Questions> = Questions[K]['progress']

/** One question of a kind at a time, as a page shows it. A newer question takes the place of one that is not answered yet. */
export class Errand<K extends keyof Questions> {
  readonly #name: K
  readonly #bridge: Bridge<Questions>
  #cancel: () => void = () => undefined
  #patience: ReturnType<typeof setTimeout> | undefined

  state = $state.raw<'idle' | 'running' | 'failed'>('idle')
  /** Of what is being worked out, or was when it was called off. */
  progress = $state.raw<Progress<K> | null>(null)
  /** Why it failed; `null` where it did not. */
  fault = $state.raw<WorkFault | null>(null)
  /** Whether it takes longer than a moment. */
  isSlow = $state.raw(false)
  /** The last answer and what was asked; it stands until the next one comes. */
  last = $state.raw<{ readonly question: Question<K>; readonly answer: Answer<K> } | null>(null)

  /** @param bridge for this alone: it ends with the errand */
  constructor(name: K, bridge: Bridge<Questions>) {
    this.#name = name
    this.#bridge = bridge
  }

  ask(question: Question<K>): void {
    this.#cancel()
    this.#settle('running')
    this.progress = null
    this.#patience = setTimeout(() => (this.isSlow = true), MOMENT_MS)
    this.#cancel = this.#bridge.ask(this.#name, question, {
      progress: (progress) => (this.progress = progress),
      settled: (result) => {
        this.#settle(result.ok ? 'idle' : 'failed')
        if (result.ok) this.last = { question, answer: result.value }
        else this.fault = result.error
      },
    })
  }

  /** Calls off what is being worked out. The last answer stays. */
  cancel(): void {
    this.#cancel()
    this.#settle('idle')
  }

  /** Forgets the last answer, too. */
  clear(): void {
    this.cancel()
    this.progress = null
    this.last = null
  }

  /** Lets the worker go for good. */
  end(): void {
    this.cancel()
    this.#bridge.end()
  }

  #settle(state: 'idle' | 'running' | 'failed'): void {
    clearTimeout(this.#patience)
    this.#cancel = () => undefined
    this.isSlow = false
    this.fault = null
    this.state = state
  }
}
