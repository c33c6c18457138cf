/**
 * Work in steps: it yields how far it has come, can be left at any step with `return`, and ends with its answer. Whoever runs it
 * decides when to give way and whether to go on, so that a worker and a command line run the same work.
 */
export type StepsOfWork<Progress, Answer> = Generator<Progress, Answer>

/** Runs work to its end. Gives the answer. */
export function workToEnd<Progress, Answer>(work: StepsOfWork<Progress, Answer>): Answer {
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
  }
}
