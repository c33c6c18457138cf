/** Median wall time of `runs` runs in milliseconds, after a few that warm up. */
export async function medianMs(runs: number, run: (k: number) => unknown): Promise<number> {
  const times: number[] = []
  const warmUp = Math.ceil(runs / 5)
  for (let k = 0; k < runs + warmUp; k++) {
    const start = performance.now()
    await run(k)
    if (k >= warmUp) times.push(performance.now() - start)
  }
  times.sort((p, q) => p - q)
  return times[Math.floor(times.length / 2)] as number
}
