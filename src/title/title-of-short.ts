import type { RangeNs } from '../port/range.ts'
import type { Source } from './evidence.ts'
import type { Title, TitleFields } from './schema.ts'
import type { ShortFigure, ShortSample, ShortTitle } from './short-title.ts'
import { leaveOpen } from './leave-open.ts'
import { TITLE_FORMAT } from './title-limits.ts'

type Fields = TitleFields
export type Starts = Fields['modes'][number]['reads'][number]['starts']
type FieldStep = Fields['modes'][number]['reads'][number]['steps'][number]

/** The name that the sample goes by from which a title is told six buttons. */
const TELLS = 'identification'

/**
 * A short title as steps: it reads the port as it did, and every figure keeps its source.
 *
 * @param starts of its reads, where no frame ties them
 */
export function titleOfShort(short: ShortTitle, starts?: Starts): Title {
  const stated = statedTitle(short, starts)
  if (!short.isOpen) return stated
  const { sampleAfterEdgeNs, sources } = short
  return leaveOpen(stated, () => ({ ...sampleAfterEdgeNs, ...sourced(sources.sampleAfterEdgeNs) }))
}

function statedTitle(short: ShortTitle, otherwise: Starts | undefined): Title {
  const { rest, readJitterNs, readOffsetsNs, sixButtons, drive } = short
  const of = (figure: ShortFigure) => sourced(short.sources[figure])
  const read = {
    starts: otherwise ?? {
      kind: 'frame' as const,
      offsetsNs: [...readOffsetsNs],
      everyFrames: 1,
      inFrame: 0,
      late: { minNs: 0, maxNs: readJitterNs, ...of('readJitterNs') },
      ...of('readOffsetsNs'),
    },
    steps: stepsOf(short),
  }
  const { standard, clockPpm, rest: idle, takesOpposite } = short.sources
  const sources = {
    ...(standard && { standard }),
    ...(clockPpm && { clockPpm }),
    ...(idle && { idle }),
    ...(short.sources.drive && drive.kind === 'driven' && { rise: short.sources.drive }),
    ...(takesOpposite && { takesOpposite }),
  }
  return {
    format: TITLE_FORMAT,
    version: 3,
    name: short.name,
    notes: short.notes,
    fragile: short.fragile,
    port: 'select-line',
    standard: short.standard,
    clockPpm: short.clockPpm,
    idle: rest,
    rise: drive.kind === 'released' ? { ...drive.riseNs, ...of('drive') } : null,
    modes: [{ ...(short.mode !== '' && { name: short.mode }), once: false, reads: [read] }],
    sixButtons:
      sixButtons.kind !== 'identified'
        ? { kind: sixButtons.kind, ...of('sixButtons') }
        : {
            kind: 'told',
            by: [{ sample: TELLS, low: [...sixButtons.lowPins], high: [] }],
            holds: 'read',
            ...of('sixButtons'),
          },
    takesOpposite: short.takesOpposite,
    ...(Object.keys(sources).length > 0 && { sources }),
    ...(short.captures.length > 0 && { captures: [...short.captures] }),
    ...(short.leftOver && {
      leftOver: {
        stretches: short.leftOver.stretches.map((stretch) => ({ ...stretch, edgesNs: [...stretch.edgesNs] })),
        more: short.leftOver.more,
        ...(short.leftOver.sampledNs !== undefined && { sampledNs: short.leftOver.sampledNs }),
      },
    }),
  }
}

const sourced = (source: Source | undefined) => source && { source }

function stepsOf(short: ShortTitle): FieldStep[] {
  const { rest, cyclesPerRead, edgeSpacingNs, drive, sources } = short
  const steps: FieldStep[] = []
  const edge = (select: 'low' | 'high' | 'release', after: RangeNs, source: Source | undefined): void => {
    steps.push({
      select,
      after: { ...after, ...sourced(source) },
      since: 'edge',
      waits: false,
      when: 'always',
    })
  }
  const rises = drive.kind === 'released' ? 'release' : 'high'
  // From rest high the first phase is the rest itself; from rest low the opening rise comes at once.
  const opens = rest === 'high' ? 1 : 0
  if (rest === 'low') edge(rises, { minNs: 0, maxNs: 0 }, undefined)
  const phases = 2 * cyclesPerRead + opens
  for (let phase = 0; phase < phases; phase++) {
    if (phase > 0) edge(phase % 2 === 1 ? 'low' : rises, edgeSpacingNs, sources.edgeSpacingNs)
    const sample = sampleIn(short, phase)
    if (sample) steps.push(sample)
  }
  return steps
}

const phaseOf = ({ cycle, level }: Pick<ShortSample, 'cycle' | 'level'>): number =>
  (cycle - 1) * 2 + (level === 'low' ? 1 : 0)

function sampleIn(short: ShortTitle, phase: number): FieldStep | null {
  const { samples, sixButtons, sampleAfterEdgeNs, sources } = short
  const taken = samples.find((sample) => phaseOf(sample) === phase)
  const tells = sixButtons.kind === 'identified' && phaseOf(sixButtons) === phase
  if (!taken && !tells) return null
  return {
    sample: { ...taken?.pins },
    ...(tells && { name: TELLS }),
    after: { ...sampleAfterEdgeNs, ...sourced(sources.sampleAfterEdgeNs) },
    since: 'edge',
    when: taken?.when ?? 'always',
    ...sourced(sources.samples),
  }
}
