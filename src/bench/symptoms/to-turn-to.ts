import type { NamedProfile } from './trials.ts'

/** The profiles that can be turned to: the user's own first, then the built-in ones, each under a name that no other of them has. */
export function toTurnTo<P extends NamedProfile>(own: readonly P[], builtIn: readonly P[]): P[] {
  const taken = new Set<string>()
  return [...own, ...builtIn].map((one) => {
    const name = freeName(one.name, taken)
    taken.add(name)
    return { ...one, name }
  })
}

function freeName(name: string, taken: ReadonlySet<string>): string {
  let free = name
  for (let k = 2; taken.has(free); k++) free = `${name} (${k})`
  return free
}
