import { UNKNOWN } from '../select-line.ts'
import type { SelectLine } from '../select-line.ts'
import { restOf } from './bursts.ts'
import type { NoEdges } from './findings.ts'

/** Why nothing can be seen from the edges of a line; `null` where something may be. */
export function withoutEdges(line: SelectLine): NoEdges | null {
  const { levels } = line
  if (levels.length === 0) return { kind: 'empty' }
  if (levels.every((level) => level === UNKNOWN)) return { kind: 'never-known' }
  return hasEdges(levels) ? null : { kind: 'constant', level: restOf(line) }
}

function hasEdges(levels: Uint8Array): boolean {
  for (let k = 1; k < levels.length; k++) {
    if (levels[k] !== UNKNOWN && levels[k - 1] !== UNKNOWN) return true
  }
  return false
}
