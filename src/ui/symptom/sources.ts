import { toTurnTo } from '../../bench/symptoms/to-turn-to.ts'
import type { NamedProfile } from '../../bench/symptoms/trials.ts'
import { BUILT_IN_PROFILES } from '../../profile/built-in.ts'
import type { ProfileEntry } from '../../shelf/entry.ts'

/** A profile to turn to. */
export interface Source extends NamedProfile {
  /** Its card on the shelf; `null` for a built-in one. */
  readonly id: string | null
}

/** The profiles to turn to: those of the shelf but the open one, and the built-in ones. */
export function sourcesFrom(shelf: readonly ProfileEntry[], openId: string): Source[] {
  const own = shelf
    .filter(({ id }) => id !== openId)
    .map(({ id, document }) => ({ id, name: document.name, profile: document }))
  const builtIn = Object.values(BUILT_IN_PROFILES).map((profile) => ({
    id: null,
    name: profile.name,
    profile,
  }))
  return toTurnTo<Source>(own, builtIn)
}
