import type { PlannedBank } from '../../bench/plan.ts'
import { LIMITS } from '../../profile/schema.ts'
import type { Bank, Profile } from '../../profile/schema.ts'
import type { ProfileEntry } from '../../shelf/entry.ts'
import { cutToBytes } from '../../document/cut-to-bytes.ts'
import { sameJson } from '../../document/same-json.ts'
import { t } from './bank-plan-texts.ts'

/** Where a profile with all the rules of a plan stands on the shelf, under whatever name; `null` where it does not. */
export function onShelf(finished: Profile, shelf: readonly ProfileEntry[]): ProfileEntry | null {
  const nameless = (profile: Profile) => ({ ...profile, name: '' })
  const alike = shelf.filter(({ document }) => sameJson(nameless(document), nameless(finished)))
  return alike.find(({ document }) => document.name === finished.name) ?? alike[0] ?? null
}

/** The profiles that a plan has added rules to and that are not on the shelf yet, named after their banks. */
export const copiesToKeep = (banks: readonly PlannedBank[], shelf: readonly ProfileEntry[]): Profile[] =>
  banks
    .filter(({ profile }) => onShelf(profile, shelf) === null)
    .map(({ profile, bank }) => ({ ...profile, name: nameForBank(profile.name, bank) }))

/** The name with its bank behind it, cut where both together would be too long. */
export function nameForBank(name: string, bank: Bank): string {
  const named = (beginning: string) => t.nameWithBank({ name: beginning.trimEnd(), bank })
  const besideBytes = new TextEncoder().encode(named('')).length
  return named(cutToBytes(name, LIMITS.nameBytes - besideBytes))
}
