import type { RangeNs } from '../port/range.ts'
import { sameJson } from '../document/same-json.ts'
import type { Source } from './evidence.ts'
import type { Title } from './schema.ts'
import { withTimes } from './times.ts'
import type { TimeOf, TimeRange } from './times.ts'

/** A time of a title: what its file says in one or more places, alike in length and with the same source. */
export interface TimeFigure extends TimeOf {
  readonly range: RangeNs
  readonly source: Source | undefined
  /** In how many places the file says it. */
  readonly places: number
}

const isOf = (figure: TimeFigure, { minNs, maxNs, source }: TimeRange, { kind, since }: TimeOf): boolean =>
  figure.kind === kind &&
  figure.since === since &&
  figure.range.minNs === minNs &&
  figure.range.maxNs === maxNs &&
  sameJson(figure.source ?? null, source ?? null)

/** Every time of a title once, in the order of the file. One that comes at once, without a source, is left out. */
export function timeFigures(title: Title): TimeFigure[] {
  const found: TimeFigure[] = []
  withTimes(title, (range, of) => {
    const { minNs, maxNs, source } = range
    if (maxNs === 0 && source === undefined) return range
    const at = found.findIndex((figure) => isOf(figure, range, of))
    const known = found[at]
    if (known) found[at] = { ...known, places: known.places + 1 }
    else found.push({ ...of, range: { minNs, maxNs }, source, places: 1 })
    return range
  })
  return found
}

/** The title with another range for a figure, wherever it stands. */
export const withFigure = (
  title: Title,
  figure: TimeFigure,
  { minNs, maxNs }: RangeNs,
  source: Source | undefined = figure.source,
): Title =>
  withTimes(title, (range, of) =>
    isOf(figure, range, of) ? { minNs, maxNs, ...(source && { source }) } : range,
  )

/** The range of a figure that is taken for one time; how late a read may begin is taken for the most. */
export const rangeAt = ({ kind, range }: Pick<TimeFigure, 'kind' | 'range'>, ns: number): RangeNs =>
  kind === 'late' ? { minNs: Math.min(range.minNs, ns), maxNs: ns } : { minNs: ns, maxNs: ns }
