/** The value that comes most often; the larger of two that come equally often. */
export function usualOf(values: readonly number[]): number {
  const counts = countsOf(values)
  return [...counts].reduce(
    (best, [value, count]) =>
      count > best.count || (count === best.count && value > best.value) ? { value, count } : best,
    { value: 0, count: 0 },
  ).value
}

/** How often each value comes. */
export function countsOf(values: readonly number[]): Map<number, number> {
  const counts = new Map<number, number>()
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1)
  return counts
}
