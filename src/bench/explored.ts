import type { Title } from '../title/schema.ts'
import type { Box, RangeNs } from './box.ts'
import { explore } from './explore.ts'
import type { ChartShape, Exploration } from './explore.ts'

interface Known {
  readonly cycles: number
  readonly after: ChartShape['after']['kind']
  readonly box: Box
  readonly exploration: Exploration
}

/** The latest of each title. */
const KNOWN = new WeakMap<Title, Known>()

/** What `explore` finds, remembered until the title is asked with other times: an edit of a cell changes nothing of it. */
export function explored(title: Title, shape: ChartShape, box: Box): Exploration {
  const cycles = shape.cycles.length
  const after = shape.after.kind
  const known = KNOWN.get(title)
  if (known?.cycles === cycles && known.after === after && isSame(known.box, box)) return known.exploration
  const exploration = explore(title, shape, box)
  KNOWN.set(title, { cycles, after, box, exploration })
  return exploration
}

const isSame = (p: Box, q: Box): boolean =>
  isSameRange(p.readStart, q.readStart) &&
  isSameRange(p.edgeSpacing, q.edgeSpacing) &&
  isSameRange(p.sample, q.sample) &&
  isSameRange(p.reply, q.reply) &&
  isSameRange(p.idleReset, q.idleReset) &&
  isSameRange(p.rise, q.rise) &&
  p.toNextRead.length === q.toNextRead.length &&
  p.toNextRead.every((range, k) => isSameRange(range, q.toNextRead[k] ?? null))

const isSameRange = (p: RangeNs | null, q: RangeNs | null): boolean =>
  p?.minNs === q?.minNs && p?.maxNs === q?.maxNs
