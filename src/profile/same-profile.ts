import { sameJson } from '../document/same-json.ts'
import type { Profile } from './schema.ts'

/** Whether two profiles say the same, notes included. */
export const sameProfile = (one: Profile, other: Profile): boolean => sameJson(one, other)
