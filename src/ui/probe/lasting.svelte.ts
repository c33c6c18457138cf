/** Makes something that outlasts the component that needs it first: what it derives stays alive. */
export function lasting<T>(make: () => T): T {
  const made: T[] = []
  $effect.root(() => void made.push(make()))
  return made[0] as T
}
