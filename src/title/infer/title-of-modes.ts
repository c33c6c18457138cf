import { leaveOpen } from '../leave-open.ts'
import type { Capture } from '../evidence.ts'
import type { LeftOver } from '../left-over.ts'
import type { Title } from '../schema.ts'
import { readShortTitle } from '../short-title.ts'
import type { ShortTitle } from '../short-title.ts'
import { titleOfShort } from '../title-of-short.ts'
import type { CaptureFinding } from './findings.ts'
import { t } from './infer-texts.ts'
import type { FoundMode } from './modes.ts'
import { sourcesOf } from './sources.ts'
import { startsApart } from './title.ts'

interface Written {
  readonly text: Pick<Title, 'name' | 'notes'>
  readonly findings: readonly CaptureFinding[]
  readonly capture: Capture | undefined
  readonly leftOver: LeftOver | undefined
}

/** A title that reads in each of these ways; `null` where a title file cannot say one of them. */
export function titleOfModes(
  modes: readonly FoundMode[],
  { text, findings, capture, leftOver }: Written,
): Title | null {
  const clockPpm = Math.max(...modes.map(({ pattern }) => pattern.fields.clockPpm))
  const shorts = modes.map(({ pattern, isOnce }, mode): ShortTitle => ({
    ...pattern.fields,
    ...text,
    clockPpm,
    mode: modes.length === 1 ? '' : isOnce ? t.atStart : t.mode({ n: mode + 1 }),
    sources: sourcesOf(
      findings.filter((one) => one.mode === undefined || one.mode === mode + 1),
      capture,
    ),
    captures: capture ? [capture] : [],
    ...(leftOver && { leftOver }),
  }))
  const titles = modes.map(({ pattern: { apartNs, fields } }, mode): Title | null => {
    const short = shorts[mode] as ShortTitle
    if (apartNs !== null)
      return titleOfShort(short, startsApart(apartNs, fields, short.sources.readOffsetsNs))
    return readShortTitle({ ...fields, ...text }).ok ? titleOfShort(short) : null
  })
  const stated = titles.filter((one) => one !== null)
  if (stated.length < titles.length) return null
  const main = mainOf(modes)
  const sampled = shorts.map(({ sampleAfterEdgeNs, sources: { sampleAfterEdgeNs: source } }) => ({
    ...sampleAfterEdgeNs,
    ...(source && { source }),
  }))
  const title = {
    ...(stated[main] as Title),
    modes: stated.flatMap((one, k) =>
      one.modes.map((mode) => ({ ...mode, once: modes[k]?.isOnce ?? false })),
    ),
  }
  return leaveOpen(title, (mode) => sampled[mode] as (typeof sampled)[number])
}

/** The mode that tells the video standard: of those that are tied to frames the one with the most. */
function mainOf(modes: readonly FoundMode[]): number {
  const most = Math.max(...modes.map(({ pattern }) => pattern.frames))
  return modes.findIndex(({ pattern }) => pattern.frames === most)
}
