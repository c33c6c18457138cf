import type { NamedProfile } from '../../bench/symptoms/trials.ts'
import { BUILT_IN_PROFILES } from '../../profile/built-in.ts'
import type { ProfileEntry } from '../../shelf/entry.ts'

/** A profile to turn to. */
export interface Source extends NamedProfile {
  /** Its card on the shelf; `null` for a built-in one. */
  readonly id: string | null
}

/** Profiles to turn to, the user's own first, each under a name that no other of them has. */
export function sourcesFrom(shelf: readonly ProfileEntry[], openId: string): Source[] {
  const own = shelf
    .filter(({ id }) => id !== openId)
    .map(({ id, document }) => ({ id, name: document.name, profile: document }))
  const builtIn = Object.values(BUILT_IN_PROFILES).map((profile) => ({
    id: null,
    name: profile.name,
    profile,
  }))
  const taken = new Set<string>()
  return [...own, ...builtIn].map((source) => {
    const name = freeName(source.name, taken)
    taken.add(name)
    return { ...source, name }
  })
}

function freeName(name: string, taken: ReadonlySet<string>): string {
  let free = name
  for (let k = 2; taken.has(free); k++) free = `${name} (${k})`
  return free
}
