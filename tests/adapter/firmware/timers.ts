/** What is due at which millisecond. */
export class Timers {
  readonly #due = new Map<number, Set<() => void>>()
  /** A binary heap of the milliseconds at which something is due. */
  readonly #times: number[] = []

  add(atMs: number, run: () => void): () => void {
    let runs = this.#due.get(atMs)
    if (!runs) {
      this.#due.set(atMs, (runs = new Set()))
      this.#push(atMs)
    }
    // The same function may be due twice.
    const own = () => run()
    runs.add(own)
    return () => runs.delete(own)
  }

  /** Goes to the next instant at which something is due, and does it. False when there is none. */
  passTo(arrive: (atMs: number) => void): boolean {
    for (;;) {
      const atMs = this.#pop()
      if (atMs === undefined) return false
      const runs = this.#due.get(atMs)
      this.#due.delete(atMs)
      if (!runs || runs.size === 0) continue
      arrive(atMs)
      // One that is called off by another of the same instant does not run.
      for (const run of runs) run()
      return true
    }
  }

  #push(value: number): void {
    const heap = this.#times
    let k = heap.push(value) - 1
    while (k > 0) {
      const parent = (k - 1) >> 1
      if ((heap[parent] as number) <= value) break
      heap[k] = heap[parent] as number
      k = parent
    }
    heap[k] = value
  }

  #pop(): number | undefined {
    const heap = this.#times
    const least = heap[0]
    const value = heap.pop()
    if (value === undefined || heap.length === 0) return least
    let k = 0
    for (;;) {
      let child = 2 * k + 1
      if (child >= heap.length) break
      if (child + 1 < heap.length && (heap[child + 1] as number) < (heap[child] as number)) child++
      if ((heap[child] as number) >= value) break
      heap[k] = heap[child] as number
      k = child
    }
    heap[k] = value
    return least
  }
}
