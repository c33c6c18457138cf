/** Time-outs, so that tests can bring their own time. */
export interface Clock {
  /** Runs something after so many milliseconds; the function returned calls it off. */
  after(ms: number, run: () => void): () => void
}

export const realClock: Clock = {
  after(ms, run) {
    const timer = setTimeout(run, ms)
    return () => clearTimeout(timer)
  },
}
