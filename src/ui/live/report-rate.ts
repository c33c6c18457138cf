/** How many reports came within the last second. */
export class ReportRate {
  #times: number[] = []

  came(atMs: number): void {
    this.#times.push(atMs)
    // Nobody may have asked for long.
    if (this.#times.length > 4096) this.#forget(atMs)
  }

  perSecond(nowMs: number): number {
    this.#forget(nowMs)
    return this.#times.length
  }

  #forget(nowMs: number): void {
    const first = this.#times.findIndex((atMs) => atMs > nowMs - 1000)
    this.#times = first < 0 ? [] : this.#times.slice(first)
  }
}
