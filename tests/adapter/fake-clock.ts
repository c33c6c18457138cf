import type { Clock } from '../../src/adapter/clock.ts'

const turn = () => new Promise<void>((resolve) => setImmediate(resolve))

/** Time that passes only when everybody waits for it. */
export class FakeClock implements Clock {
  nowMs = 0
  readonly #timers = new Set<{ readonly atMs: number; readonly run: () => void }>()

  /** How many wait for their time. */
  get waiting(): number {
    return this.#timers.size
  }

  after(ms: number, run: () => void): () => void {
    const timer = { atMs: this.nowMs + ms, run }
    this.#timers.add(timer)
    return () => this.#timers.delete(timer)
  }

  /** Lets time pass until the work is done; fails when it waits for something that no timer will bring. */
  async until<T>(work: Promise<T>): Promise<T> {
    let done = false
    const settled = () => (done = true)
    work.then(settled, settled)
    let idleTurns = 0
    for (;;) {
      await turn()
      if (done) return work
      const next = [...this.#timers].sort((a, b) => a.atMs - b.atMs)[0]
      if (!next) {
        if (++idleTurns > 20) throw new Error('nothing will ever wake this up')
        continue
      }
      idleTurns = 0
      this.#timers.delete(next)
      this.nowMs = next.atMs
      next.run()
    }
  }
}
