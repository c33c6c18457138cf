import type { KnownLevel, Level } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { HIGH, LOW, UNKNOWN } from '../title/select-line.ts'
import type { SelectLine } from '../title/select-line.ts'
import { CountWalk, CountedRows, capturedReset } from './count-walk.ts'
import type { StatedAdapter } from './judgement.ts'
import { settlesAfter } from './judge-line.ts'
import type { JudgedLine, LaterReply } from './judge-line.ts'

/** Where a captured line begins to be open to a misread by count; times on the capture's own clock. */
export type CaptureDanger =
  /** A phase that can be answered otherwise than in the first cycle. */
  | ({ readonly kind: 'later' } & LaterReply)
  /** The level is not known from here on for a while: it can have risen any number of times. */
  | { readonly kind: 'unknown'; readonly atNs: number }
  /** A pulse so short that a pad can count its rise or miss it. */
  | { readonly kind: 'glitch'; readonly atNs: number }

export interface JudgedCapture extends Pick<JudgedLine, 'settlesAfterEdges'> {
  /**
   * `clean`: no count can spoil what was captured, once what was counted before it has settled; `undecided`: one can, and nobody knows
   * what the title makes of that phase. How soon replies come is judged by neither.
   */
  readonly byCount: 'clean' | 'undecided'
  /** With nothing counted before the capture; `null` where there is none. */
  readonly danger: CaptureDanger | null
  /** Changes of the line after the first level that is known. */
  readonly edges: number
  /** Where edges were left out because there were too many: up to when it is judged. */
  readonly cutAtNs: number | null
}

const LEVELS: Readonly<Record<number, Level>> = { [LOW]: 'low', [HIGH]: 'high' }

/**
 * Judges a captured select line by itself, with no reading of what its edges are for: nothing is left out. Up to the first level that is
 * known nobody has driven the line, so nothing is counted there.
 */
export function judgeCapture(
  profile: Pick<Profile, 'chart' | 'idleResetNs'>,
  line: SelectLine,
  adapter: StatedAdapter,
): JudgedCapture {
  const { timesNs, levels, glitches, sampledNs } = line
  const begins = levels.findIndex((level) => level !== UNKNOWN)
  const edges = begins === -1 ? 0 : levels.length - begins - 1
  const rows = new CountedRows(profile.chart)
  const reset = capturedReset(profile, adapter, Math.ceil(sampledNs ?? 0))
  const beginsNs = timesNs[begins] ?? line.startNs
  const levelAt = (k: number): KnownLevel => LEVELS[levels[k] ?? UNKNOWN] ?? 'unknown'
  const fresh = new CountWalk(rows, reset, levelAt(begins), 'nothing', beginsNs)
  const any = new CountWalk(rows, reset, levelAt(begins), 'anything', beginsNs)
  let danger: CaptureDanger | null = null
  let wrong = 0
  for (let edge = 0; edge < edges; edge++) {
    const k = begins + 1 + edge
    const [atNs, level] = [timesNs[k] as number, levelAt(k)]
    fresh.change(atNs, level)
    any.change(atNs, level)
    const row = fresh.later
    if (row !== null)
      danger ??= level === 'unknown' ? { kind: 'unknown', atNs } : { kind: 'later', edge, atNs, level, row }
    if (any.later !== null) wrong = edge + 1
  }
  // Of glitches only the first is known by its time, so from there on nothing settles.
  const isBlurred = glitches.count > 0 && rows.hasLater
  if (isBlurred && (danger === null || glitches.firstNs < danger.atNs))
    danger = { kind: 'glitch', atNs: glitches.firstNs }
  const settlesAfterEdges = isBlurred ? null : settlesAfter(wrong, edges)
  const cutAtNs = line.full ? line.endNs : null
  const isOpen = danger !== null || settlesAfterEdges === null || (cutAtNs !== null && rows.hasLater)
  return { byCount: isOpen ? 'undecided' : 'clean', danger, settlesAfterEdges, edges, cutAtNs }
}
