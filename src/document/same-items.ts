/** Whether two rows hold the very same items in the same order; bytes that are equal, where these are bytes. */
export function sameItems<T>(a: ArrayLike<T>, b: ArrayLike<T>): boolean {
  if (a.length !== b.length) return false
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false
  return true
}
