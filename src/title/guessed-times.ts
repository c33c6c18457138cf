import type { Source } from './evidence.ts'
import type { Read, Title } from './schema.ts'
import { withTimes } from './times.ts'
import type { TimeRange } from './times.ts'

/**
 * A time that is guessed, or found between two others, lies somewhere in its range, and may lie there always. What was measured, or said, is a range that the title does use.
 */

/** Where in its range a guessed time is taken to lie. */
export const PLACES = ['least', 'middle', 'most'] as const
export type PlaceInRange = (typeof PLACES)[number]

const SOMEWHERE: readonly Source['kind'][] = ['guessed', 'preset', 'found']

/** Whether a figure lies somewhere in its range: nobody has seen or said it, or late replies have bracketed it. */
export const liesSomewhere = (source: Source | undefined): boolean =>
  source !== undefined && SOMEWHERE.includes(source.kind)

const LYING = new WeakMap<Title, Partial<Record<PlaceInRange, Title>>>()

/** The title with every guessed time at one place of its range; `null` where no range is guessed. */
export function withGuessesAt(title: Title, place: PlaceInRange): Title | null {
  const known = LYING.get(title) ?? {}
  LYING.set(title, known)
  const found = (known[place] ??= lyingAt(title, place))
  return found === title ? null : found
}

function lyingAt(title: Title, place: PlaceInRange): Title {
  let isMoved = false
  const move = (range: TimeRange): TimeRange => {
    if (!liesSomewhere(range.source) || range.minNs === range.maxNs) return range
    isMoved = true
    const ns = {
      least: range.minNs,
      middle: Math.floor((range.minNs + range.maxNs) / 2),
      most: range.maxNs,
    }[place]
    return { ...range, minNs: ns, maxNs: ns }
  }
  const withoutStretch = (read: Read): Read => {
    const { stretch, ...without } = read
    if (stretch === undefined || !liesSomewhere(stretch.source) || place !== 'least') return read
    isMoved = true
    return without
  }
  const isClockMoved = place === 'least' && title.clockPpm > 0 && liesSomewhere(title.sources?.clockPpm)
  if (isClockMoved) isMoved = true
  const timed = withTimes(title, move)
  const moved: Title = {
    ...timed,
    ...(isClockMoved && { clockPpm: 0 }),
    modes: timed.modes.map((mode) => ({ ...mode, reads: mode.reads.map(withoutStretch) })),
  }
  return isMoved ? moved : title
}
