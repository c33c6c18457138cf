/** Whether two pieces of JSON say the same. The order of keys means nothing. */
export function sameJson(a: unknown, b: unknown): boolean {
  if (a === b) return true
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false
  if (Array.isArray(a) !== Array.isArray(b)) return false
  const [keys, others] = [Object.keys(a), Object.keys(b)]
  return (
    keys.length === others.length &&
    keys.every((key) => Object.hasOwn(b, key) && sameJson(a[key as keyof typeof a], b[key as keyof typeof b]))
  )
}
