import { foreign } from '../../words/foreign.ts'
import type { Result } from '../../port/result.ts'
import { err, ok } from '../../port/result.ts'

/** A line of a capture. */
export interface Listed {
  readonly name: string
  /** What tells it from its namesakes. */
  readonly path: string
}

const NAME = 'select'
const MOST_LISTED = 20

/** The line that must be select when nobody says which: the only one, or the only one that is called so. A fault is a sentence. */
export function chooseSelect<L extends Listed>(lines: readonly L[]): Result<L, string> {
  const [only, ...others] = lines
  if (only === undefined) return err('The capture has no line of one bit.')
  if (others.length === 0) return ok(only)
  const called = lines.filter(({ name }) => name.replace(/\s*\[\d+\]$/, '').toLowerCase() === NAME)
  const [select, ...namesakes] = called
  if (select !== undefined && namesakes.length === 0) return ok(select)
  const asked = called.length > 0 ? `Several lines are called ${NAME}` : `No line is called ${NAME}`
  return err(`${asked}; choose one of ${listed(called.length > 0 ? called : lines)}.`)
}

/** The line that goes by a name, or by a full path. A fault is a sentence. */
export function findLine<L extends Listed>(lines: readonly L[], name: string): Result<L, string> {
  // Names in captures are read so too.
  const asked = foreign(name)
  const byPath = lines.filter(({ path }) => path === asked)
  const [line, ...others] = byPath.length > 0 ? byPath : lines.filter((line) => line.name === asked)
  if (line === undefined) return err(`No line is called "${asked}"; choose one of ${listed(lines)}.`)
  return others.length === 0
    ? ok(line)
    : err(`Several lines are called "${asked}"; rename one and capture again.`)
}

const listed = (lines: readonly Listed[]): string =>
  lines
    .slice(0, MOST_LISTED)
    .map(({ path }) => path)
    .join(', ') + (lines.length > MOST_LISTED ? ` and ${lines.length - MOST_LISTED} more` : '')
