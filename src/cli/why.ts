export const NO_SUCH_FILE = 'there is no such file'
export const A_FOLDER = 'this is a folder, not a file'

/** What the codes of the system mean where a file is read. */
const WHY_NOT_READ: Record<string, string> = {
  ENOENT: NO_SUCH_FILE,
  EACCES: 'this file may not be opened; check its permissions',
  EPERM: 'this file may not be opened; check its permissions',
  EISDIR: A_FOLDER,
  ENOTDIR: 'a part of this path is not a folder',
  ENAMETOOLONG: 'this name is too long',
  ELOOP: 'this link leads in a circle',
}

/** What the same codes mean where a file is written. */
const WHY_NOT_WRITTEN: Record<string, string> = {
  ...WHY_NOT_READ,
  ENOENT: 'there is no such folder',
  EACCES: 'this file or its folder is write-protected',
  EPERM: 'this file or its folder is write-protected',
  EROFS: 'this disk is read-only',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk space you may use is full',
}

/** What the system says against reading or writing a file, in words. */
export function why(cause: unknown, done: 'read' | 'written' = 'read'): string {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : ''
  const known = done === 'read' ? WHY_NOT_READ : WHY_NOT_WRITTEN
  return known[code] ?? `the system says ${code || String(cause)}`
}

/** A path as a sentence can begin with it. */
export const named = (path: string): string => (path === '' ? '""' : path)
