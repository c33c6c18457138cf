import type { Capture } from './evidence.ts'
import { isTiedToFrames } from './reads-of-frame.ts'
import type { Title } from './schema.ts'

/** What of a title was captured: its pattern was measured in so much, and nothing is known of what it does elsewhere. */
export interface CapturedOf {
  readonly modes: number
  readonly seen: number
  readonly things: 'frames' | 'reads'
  /** Which pads it had in front of it, as far as data lines show it: in front of another it can read in another way. */
  readonly pads: readonly NonNullable<Capture['pad']>[]
  /** Whether one of its captures begins at power-on, as was said. */
  readonly fromPowerOn: boolean
}

const PADS = ['three-buttons', 'six-buttons'] as const

/** `null` where nothing of when its reads come was measured. */
export function capturedOf(title: Title): CapturedOf | null {
  const starts = title.modes.flatMap(({ reads }, mode) =>
    reads.map(({ starts }) => ({
      mode,
      source: starts.kind === 'frame' ? starts.source : starts.after.source,
    })),
  )
  const measured = starts.flatMap(({ mode, source }) =>
    source?.kind === 'measured' ? [{ mode, of: source.of }] : [],
  )
  const [first] = measured
  if (first === undefined) return null
  const modes = [...new Set(measured.map(({ mode }) => mode))]
  const seenIn = (mode: number): number =>
    Math.max(...measured.filter((one) => one.mode === mode).map(({ of }) => of))
  return {
    modes: modes.length,
    seen: modes.reduce((sum, mode) => sum + seenIn(mode), 0),
    things: isTiedToFrames(title, first.mode) ? 'frames' : 'reads',
    pads: PADS.filter((pad) => title.captures?.some((capture) => capture.pad === pad)),
    fromPowerOn: title.captures?.some(({ fromPowerOn }) => fromPowerOn) ?? false,
  }
}
