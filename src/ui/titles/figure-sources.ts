import { shortOf } from '../../title/short-of-title.ts'
import type { Title } from '../../title/schema.ts'
import { sourceWords } from './step-words.ts'
import { t } from './title-form-texts.ts'

/**
 * Where the figures of a title as a whole come from, and those of its reads where they are said the short way. The steps have theirs beside
 * them.
 */
export function figureSources(title: Title): { readonly figure: string; readonly source: string }[] {
  const { sources } = title
  const short = shortOf(title)?.sources
  const ofReads =
    short &&
    ([
      [t.idle, short.rest],
      [t.drive, short.drive],
      [t.offsets, short.readOffsetsNs],
      [t.jitter, short.readJitterNs],
      [t.spacing, short.edgeSpacingNs],
      [t.sample, short.sampleAfterEdgeNs],
      [t.reads, short.samples],
      [t.detection, short.sixButtons],
    ] as const)
  return [
    [t.standard, sources?.standard] as const,
    [t.clock, sources?.clockPpm] as const,
    ...(ofReads ?? []),
    [t.opposite, sources?.takesOpposite] as const,
  ].map(([figure, source]) => ({ figure, source: sourceWords(source, title) }))
}
