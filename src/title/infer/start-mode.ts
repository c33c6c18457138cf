import { frameNs } from '../../port/clocks.ts'
import type { SelectLine } from '../select-line.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import type { Bursts } from './bursts.ts'
import type { CaptureFinding, Evidence } from './findings.ts'
import type { Pattern } from './patterns.ts'
import type { Shape } from './shapes.ts'
import { commonFields } from './title.ts'

/**
 * What a title does once, at power-on, before anything that it does again: reads of one shape within a frame. `null` where there are none such before a burst.
 *
 * @param until the burst with which the first mode begins that comes again
 * @param next that mode
 */
export function startMode(
  { timesNs }: SelectLine,
  { rest, whole, broken }: Bursts,
  until: number,
  { fields: { standard, clockPpm }, periodNs }: Pattern,
): Pattern | null {
  const bursts = whole.slice(0, until)
  const [first] = bursts
  if (first === undefined || bursts.length > TITLE_LIMITS.readsPerFrame) return null
  const startsNs = bursts.map((burst) => timesNs[burst.first] ?? 0)
  const [beginsNs = 0] = startsNs
  const offsetsNs = startsNs.map((ns) => Math.round(ns - beginsNs))
  const isBrokenBefore = broken.count > 0 && broken.firstNs < (startsNs.at(-1) ?? 0)
  const isOfOneShape = bursts.every(({ edges }) => edges === first.edges)
  if (!isOfOneShape || isBrokenBefore || (offsetsNs.at(-1) ?? 0) >= frameNs(standard)) return null
  const phasesNs = bursts.flatMap((burst) =>
    Array.from(
      timesNs.subarray(burst.first + 1, burst.first + burst.edges),
      (ns, k) => ns - (timesNs[burst.first + k] ?? 0),
    ),
  )
  const spacingNs = { minNs: Math.min(...phasesNs), maxNs: Math.max(...phasesNs) }
  const cyclesPerRead = first.edges / 2
  const shapes = bursts.map((): Shape => ({ cyclesPerRead, edgeSpacingNs: spacingNs }))
  const fields = commonFields({ rest, standard, everyFrames: 1, offsetsNs, lateNs: 0, ppm: clockPpm, shapes })
  const evidence: Evidence = { seen: 1, of: 1, things: 'frames' }
  const seen = { sureness: 'likely', evidence } as const
  const findings: CaptureFinding[] = [
    { what: 'reads-per-frame', value: bursts.length, ...seen },
    { what: 'read-offsets', value: fields.readOffsetsNs, ...seen },
    { what: 'cycles-per-read', value: cyclesPerRead, ...seen },
    { what: 'edge-spacing', value: spacingNs, ...seen },
  ]
  return {
    fields,
    shapes,
    everyFrames: 1,
    apartNs: null,
    findings,
    reads: bursts.length,
    frames: 1,
    periodNs,
    isSteady: false,
  }
}
