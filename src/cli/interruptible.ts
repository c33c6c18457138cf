import type { StepsOfWork } from '../port/steps-of-work.ts'
import { heedSignals } from './write.ts'

export type Ended<Progress, Answer> =
  | { readonly kind: 'answered'; readonly answer: Answer }
  /** By the user; `last` is how far it had come, `null` before the first step. */
  | { readonly kind: 'interrupted'; readonly last: Progress | null }

/** How long work goes on before it looks for a signal. */
const BREATH_MS = 50

/**
 * Runs work until it ends or SIGINT comes, which is what Ctrl-C sends. Signals are looked for between two steps; where a second one has come by
 * then, the program ends as if nobody had listened.
 *
 * @param tell hears of every step, with the time since the start
 */
export async function workUntilInterrupted<Progress, Answer>(
  work: StepsOfWork<Progress, Answer>,
  tell: (progress: Progress, ms: number) => void,
): Promise<Ended<Progress, Answer>> {
  let isInterrupted = false
  const interrupt = () => {
    if (isInterrupted) {
      process.off('SIGINT', interrupt)
      process.kill(process.pid, 'SIGINT')
    }
    isInterrupted = true
  }
  process.on('SIGINT', interrupt)
  try {
    const startMs = performance.now()
    let breathedMs = startMs
    let last: Progress | null = null
    for (;;) {
      const step = work.next()
      if (step.done) return { kind: 'answered', answer: step.value }
      last = step.value
      const atMs = performance.now()
      tell(last, atMs - startMs)
      if (atMs - breathedMs < BREATH_MS) continue
      await heedSignals()
      if (isInterrupted) return { kind: 'interrupted', last }
      breathedMs = performance.now()
    }
  } finally {
    process.off('SIGINT', interrupt)
  }
}
