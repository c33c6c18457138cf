import type { DocumentError } from '../document/document.ts'
import { readDocument } from '../document/read-document.ts'
import type { Result } from '../port/result.ts'
import { PROFILE_KIND } from './schema.ts'
import type { Profile } from './schema.ts'

/** Reads a profile file. Never throws; an error names its place. */
export const readProfile = (bytes: Uint8Array): Result<Profile, DocumentError> =>
  readDocument(PROFILE_KIND, bytes)

/** The text of a profile file: the same profile gives the same text. */
export const writeProfile = (profile: Profile): string => `${JSON.stringify(profile, null, 2)}\n`
