import type { Capture, Source } from '../evidence.ts'
import type { ShortFigure, ShortTitle } from '../short-title.ts'
import type { CaptureFinding, What } from './findings.ts'

/** Which finding a figure of the title comes from. */
const FROM: Readonly<Partial<Record<ShortFigure, What>>> = {
  rest: 'rest',
  standard: 'standard',
  readOffsetsNs: 'read-offsets',
  readJitterNs: 'read-jitter',
  clockPpm: 'clock-tolerance',
  edgeSpacingNs: 'edge-spacing',
  sampleAfterEdgeNs: 'sample',
  samples: 'samples',
  sixButtons: 'six-buttons',
  drive: 'drive',
}

/** The same where reads are tied to no frame, or are of several kinds. */
const OTHERWISE: Readonly<Partial<Record<ShortFigure, What>>> = {
  readOffsetsNs: 'untied',
  edgeSpacingNs: 'read-kinds',
}

/** Where the figures of a title come from that was found in a capture: what edges do not show is guessed. */
export function sourcesOf(
  findings: readonly CaptureFinding[],
  capture: Capture | undefined,
): ShortTitle['sources'] {
  const sources: Partial<Record<ShortFigure, Source>> = { takesOpposite: { kind: 'guessed' } }
  for (const [figure, what] of Object.entries(FROM) as [ShortFigure, What][]) {
    const finding = findings.find((one) => one.what === what || one.what === OTHERWISE[figure])
    const evidence = finding?.sureness === 'guess' ? undefined : finding?.evidence
    sources[figure] = evidence
      ? {
          kind: 'measured',
          seen: evidence.seen,
          of: Math.max(1, evidence.of),
          ...(capture && { capture: capture.sha256 }),
        }
      : { kind: 'guessed' }
  }
  return sources
}
