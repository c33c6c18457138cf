import { sameJson } from '../document/same-json.ts'
import { PINS } from '../port/pins.ts'
import type { Level } from '../port/pins.ts'
import type { Source } from './evidence.ts'
import type { Read, SampleStep, SelectStep, Title } from './schema.ts'
import type { ShortFigure, ShortSample, ShortTitle } from './short-title.ts'
import { isLeftOpen, withoutOpen } from './leave-open.ts'
import { titleOfShort } from './title-of-short.ts'

const SHORTS = new WeakMap<Title, { readonly short: ShortTitle | null }>()

/** The short way to say a title; `null` where there is more to say of it. Worked out once. */
export function shortOf(title: Title): ShortTitle | null {
  const known = SHORTS.get(title)
  if (known) return known.short
  const closed = isLeftOpen(title) ? withoutOpen(title) : title
  const guessed = guess(closed)
  const found: ShortTitle | null = guessed && closed !== title ? { ...guessed, isOpen: true } : guessed
  // Whatever the short way leaves out shows as a difference.
  const short = found !== null && sameJson(titleOfShort(found), title) ? found : null
  SHORTS.set(title, { short })
  return short
}

function guess(title: Title): ShortTitle | null {
  const { modes, idle, rise, sixButtons } = title
  const [mode] = modes
  const [read] = mode?.reads ?? []
  if (mode === undefined || read === undefined || read.starts.kind !== 'frame') return null
  const phases = phasesOf(read, idle)
  if (phases === null) return null
  const edges = phases.flatMap(({ edge }, k) => (edge === null || (k === 0 && idle === 'low') ? [] : [edge]))
  const [edge] = edges
  const all = phases.flatMap(({ sample }) => (sample === null ? [] : [sample]))
  const [first] = all
  if (edge === undefined || first === undefined) return null
  const samples = phases.flatMap(({ sample }, phase) => {
    const taken = sample && shortSample(sample, phase)
    return taken ? [taken] : []
  })
  const { idle: ofIdle, rise: ofDrive, ...ofTitle } = title.sources ?? {}
  const sources: Partial<Record<ShortFigure, Source>> = { ...ofTitle }
  const from = (figure: ShortFigure, source: Source | undefined): void => {
    if (source) sources[figure] = source
  }
  from('readOffsetsNs', read.starts.source)
  from('readJitterNs', read.starts.late.source)
  from('edgeSpacingNs', edge.after.source)
  from('sampleAfterEdgeNs', first.after.source)
  from('samples', first.source)
  from('sixButtons', sixButtons.source)
  from('rest', ofIdle)
  from('drive', rise === null ? ofDrive : rise.source)
  const cyclesPerRead = Math.floor(phases.length / 2)
  if (samples.some(({ cycle }) => cycle > cyclesPerRead)) return null
  const told = sixButtons.kind === 'told' ? sixButtons.by[0] : undefined
  const tells = phases.findIndex(({ sample }) => sample?.name !== undefined && sample.name === told?.sample)
  return {
    name: title.name,
    notes: title.notes,
    fragile: title.fragile,
    standard: title.standard,
    readOffsetsNs: read.starts.offsetsNs,
    readJitterNs: read.starts.late.maxNs,
    clockPpm: title.clockPpm,
    cyclesPerRead,
    edgeSpacingNs: { minNs: edge.after.minNs, maxNs: edge.after.maxNs },
    sampleAfterEdgeNs: { minNs: first.after.minNs, maxNs: first.after.maxNs },
    rest: idle,
    drive:
      rise === null
        ? { kind: 'driven' }
        : { kind: 'released', riseNs: { minNs: rise.minNs, maxNs: rise.maxNs } },
    samples,
    sixButtons:
      sixButtons.kind !== 'told'
        ? { kind: sixButtons.kind }
        : { kind: 'identified', ...placeOf(tells), lowPins: told?.low ?? [] },
    takesOpposite: title.takesOpposite,
    mode: mode.name ?? '',
    sources,
    captures: title.captures ?? [],
    ...(title.leftOver && { leftOver: title.leftOver }),
  }
}

interface Phase {
  readonly edge: SelectStep | null
  readonly sample: SampleStep | null
}

/** The phases of a read with their samples; `null` where there is more in it. */
function phasesOf({ steps }: Read, idle: Level): Phase[] | null {
  const phases: { edge: SelectStep | null; sample: SampleStep | null }[] =
    idle === 'high' ? [{ edge: null, sample: null }] : []
  for (const step of steps) {
    if ('repeat' in step) return null
    if ('select' in step) {
      phases.push({ edge: step, sample: null })
      continue
    }
    const phase = phases.at(-1)
    if (phase === undefined || phase.sample !== null) return null
    phase.sample = step
  }
  return phases
}

const placeOf = (phase: number): { cycle: number; level: Level } => ({
  cycle: Math.floor(phase / 2) + 1,
  level: phase % 2 === 1 ? 'low' : 'high',
})

function shortSample({ sample, when }: SampleStep, phase: number): ShortSample | null {
  const pins: ShortSample['pins'] = {}
  for (const pin of PINS) {
    const taken = sample[pin]
    if (taken === undefined) continue
    if (typeof taken !== 'string') return null
    Object.assign(pins, { [pin]: taken })
  }
  return Object.keys(pins).length === 0 ? null : { ...placeOf(phase), pins, when }
}
