import { foreign } from '../../words/foreign.ts'
import { rowWords } from '../../words/lists.ts'
import type { Result } from '../../port/result.ts'
import { err, ok } from '../../port/result.ts'
import { chooseTexts as t } from './infer-texts.ts'

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
  if (only === undefined) return err(t.noLine)
  if (others.length === 0) return ok(only)
  const called = lines.filter(({ name }) => name.replace(/\s*\[\d+\]$/, '').toLowerCase() === NAME)
  const [select, ...namesakes] = called
  if (select !== undefined && namesakes.length === 0) return ok(select)
  return err(
    called.length > 0
      ? t.severalCalled({ name: NAME, lines: listed(called) })
      : t.noneCalled({ name: NAME, lines: listed(lines) }),
  )
}

/** The line that goes by a name, or by a full path. A fault is a sentence. */
export function findLine<L extends Listed>(lines: readonly L[], name: string): Result<L, string> {
  // Names in captures are read so too.
  const asked = foreign(name)
  const byPath = lines.filter(({ path }) => path === asked)
  const [line, ...others] = byPath.length > 0 ? byPath : lines.filter((line) => line.name === asked)
  if (line === undefined) return err(t.noneNamed({ name: asked, lines: listed(lines) }))
  return others.length === 0 ? ok(line) : err(t.severalNamed({ name: asked }))
}

function listed(lines: readonly Listed[]): string {
  const named = rowWords(lines.slice(0, MOST_LISTED).map(({ path }) => path))
  const more = lines.length - MOST_LISTED
  return more > 0 ? t.andMore({ lines: named, more }) : named
}
