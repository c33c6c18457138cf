import { fileTexts as t } from './fault-texts.ts'

type Reason = Exclude<keyof typeof t, symbol>

/** What the codes of the system mean where a file is read. */
const WHY_NOT_READ = {
  ENOENT: 'noFile',
  EACCES: 'mayNotOpen',
  EPERM: 'mayNotOpen',
  EISDIR: 'isFolder',
  ENOTDIR: 'noFolderInPath',
  ENAMETOOLONG: 'nameTooLong',
  ELOOP: 'circle',
} as const satisfies Record<string, Reason>

/** What the same codes mean where a file is written. */
const WHY_NOT_WRITTEN = {
  ...WHY_NOT_READ,
  ENOENT: 'noFolder',
  EACCES: 'writeProtected',
  EPERM: 'writeProtected',
  EROFS: 'readOnly',
  ENOSPC: 'diskFull',
  EDQUOT: 'quotaFull',
} as const satisfies Record<string, Reason>

/** What the system says against reading or writing a file, in words. */
export function why(cause: unknown, done: 'read' | 'written' = 'read'): string {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : ''
  const known = done === 'read' ? reasonOf(WHY_NOT_READ, code) : reasonOf(WHY_NOT_WRITTEN, code)
  return known === undefined ? t.systemSays({ code: code || String(cause) }) : t[known]
}

const reasonOf = <R>(reasons: Readonly<Record<string, R>>, code: string): R | undefined =>
  Object.hasOwn(reasons, code) ? reasons[code] : undefined

/** A path as a sentence can begin with it. */
export const named = (path: string): string => (path === '' ? '""' : path)
