import type { RangeNs } from '../port/range.ts'
import type { Source } from './evidence.ts'
import type { PlainStep, Read, Step, Title } from './schema.ts'

/**
 * A time that is guessed lies somewhere in its range, and may lie there always. What was measured, or said, is a range that the title does use.
 */

/** Where in its range a guessed time is taken to lie. */
export const PLACES = ['least', 'middle', 'most'] as const
export type PlaceInRange = (typeof PLACES)[number]

const GUESSES: readonly Source['kind'][] = ['guessed', 'preset']

/** Whether nobody has seen or said a figure. */
export const isGuess = (source: Source | undefined): boolean =>
  source !== undefined && GUESSES.includes(source.kind)

type Sourced = RangeNs & { readonly source?: Source | undefined }

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
  const move = <R extends Sourced>(range: R): R => {
    if (!isGuess(range.source) || range.minNs === range.maxNs) return range
    isMoved = true
    const ns = {
      least: range.minNs,
      middle: Math.floor((range.minNs + range.maxNs) / 2),
      most: range.maxNs,
    }[place]
    return { ...range, minNs: ns, maxNs: ns }
  }
  const plain = <S extends PlainStep>(step: S): S => ({ ...step, after: move(step.after) })
  const ofStep = (step: Step): Step =>
    'repeat' in step ? { ...step, steps: step.steps.map(plain) } : plain(step)
  const ofRead = (read: Read): Read => {
    const { starts, stretch } = read
    const withSteps = {
      ...read,
      starts:
        starts.kind === 'frame'
          ? { ...starts, late: move(starts.late) }
          : { ...starts, after: move(starts.after) },
      steps: read.steps.map(ofStep),
    }
    if (stretch === undefined || !isGuess(stretch.source) || place !== 'least') return withSteps
    isMoved = true
    const { stretch: _stretch, ...without } = withSteps
    return without
  }
  const isClockMoved = place === 'least' && title.clockPpm > 0 && isGuess(title.sources?.clockPpm)
  if (isClockMoved) isMoved = true
  const moved: Title = {
    ...title,
    ...(isClockMoved && { clockPpm: 0 }),
    rise: title.rise && move(title.rise),
    modes: title.modes.map((mode) => ({ ...mode, reads: mode.reads.map(ofRead) })),
  }
  return isMoved ? moved : title
}
