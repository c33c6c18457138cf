import type { Profile } from '../profile/schema.ts'
import { canHideEdges } from '../title/sampling-step.ts'
import { HIGH, UNKNOWN } from '../title/select-line.ts'
import type { SelectLine } from '../title/select-line.ts'
import { CountedRows } from './count-walk.ts'
import type { StatedAdapter } from './judgement.ts'
import { judgeLine } from './judge-line.ts'
import type { JudgedLine, LaterReply } from './judge-line.ts'

/** Where a captured line begins to be open to a misread by count; times on the capture's own clock. */
export type CaptureDanger =
  /** A phase that can be answered otherwise than in the first cycle. */
  | ({ readonly kind: 'later' } & LaterReply)
  /** The level is not known from here on for a while: it can have risen any number of times. */
  | { readonly kind: 'unknown'; readonly atNs: number }
  /** A pulse so short that a pad can count its rise or miss it. */
  | { readonly kind: 'glitch'; readonly atNs: number }
  /** Samples so far apart that a title can have moved select between two of them. */
  | { readonly kind: 'sampled'; readonly atNs: number; readonly everyNs: number }

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
  /** Whether it begins at power-on, as the user says: nothing was counted before it. */
  readonly fromPowerOn: boolean
}

/**
 * Judges a captured select line by itself, with no reading of what its edges are for: nothing is left out. Up to the first level that is
 * known nobody has driven the line, so nothing is counted there.
 */
export function judgeCapture(
  profile: Pick<Profile, 'chart' | 'idleResetNs'>,
  line: SelectLine,
  adapter: StatedAdapter,
  fromPowerOn = false,
): JudgedCapture {
  const { timesNs, levels, sampledNs } = line
  const begins = Math.max(
    0,
    levels.findIndex((level) => level !== UNKNOWN),
  )
  const lost = levels.indexOf(UNKNOWN, begins)
  const edgesNs = timesNs.subarray(begins + 1, lost === -1 ? undefined : lost)
  const known = judgeLine(
    profile,
    {
      startLevel: levels[begins] === HIGH ? 'high' : 'low',
      edgesNs,
      sinceRiseNs: (edgesNs[0] ?? 0) - (timesNs[begins] ?? 0),
      sampledNs: sampledNs ?? 0,
    },
    adapter,
  )
  const cutAtNs = line.full ? line.endNs : null
  const edges = Math.max(0, levels.length - begins - 1)
  // Where a pad answers every count alike it does not matter what can have been counted.
  const isOpen = new CountedRows(profile.chart).hasLater
  const blur = isOpen ? blurOf(line, lost) : null
  if (blur === null) {
    const { danger, settlesAfterEdges } = known
    const isSpoilt = settlesAfterEdges === null && !fromPowerOn
    const isUndecided = danger !== null || isSpoilt || (isOpen && cutAtNs !== null)
    return {
      byCount: isUndecided ? 'undecided' : 'clean',
      danger: danger && { kind: 'later', ...danger },
      settlesAfterEdges,
      edges,
      cutAtNs,
      fromPowerOn,
    }
  }
  const isLater = known.danger !== null && (blur.kind === 'sampled' || known.danger.atNs <= blur.atNs)
  const danger: CaptureDanger = isLater ? { kind: 'later', ...known.danger } : blur
  return { byCount: 'undecided', danger, settlesAfterEdges: null, edges, cutAtNs, fromPowerOn }
}

/**
 * From where on every count is possible; of glitches only the first is known by its time.
 *
 * @param lost place at which the level becomes unknown, -1 where it does not
 */
function blurOf({ timesNs, glitches, sampledNs, startNs }: SelectLine, lost: number): CaptureDanger | null {
  if (sampledNs !== null && canHideEdges(sampledNs))
    return { kind: 'sampled', atNs: startNs, everyNs: sampledNs }
  const unknownNs = lost === -1 ? Infinity : (timesNs[lost] as number)
  if (glitches.count > 0 && glitches.firstNs < unknownNs) return { kind: 'glitch', atNs: glitches.firstNs }
  return lost === -1 ? null : { kind: 'unknown', atNs: unknownNs }
}
