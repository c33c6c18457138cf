import type { DocumentError } from '../../document/document.ts'
import { frameNs } from '../../port/clocks.ts'
import { leaveOpen } from '../leave-open.ts'
import type { Capture } from '../evidence.ts'
import type { LeftOver } from '../left-over.ts'
import type { Title } from '../schema.ts'
import { readShortTitle } from '../short-title.ts'
import type { ShortTitle } from '../short-title.ts'
import { titleOfShort } from '../title-of-short.ts'
import type { Starts } from '../title-of-short.ts'
import type { CaptureFinding } from './findings.ts'
import { t } from './infer-texts.ts'
import type { FoundMode } from './modes.ts'
import type { Pattern } from './patterns.ts'
import { kindsOf } from './shapes.ts'
import type { Shape } from './shapes.ts'
import { sourcesOf } from './sources.ts'
import { fieldsOfShape, startsApart } from './title.ts'

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
  const titles = modes.map(({ pattern, isOnce }, mode) => {
    const sources = sourcesOf(
      findings.filter((one) => one.mode === undefined || one.mode === mode + 1),
      capture,
    )
    const common = {
      ...text,
      clockPpm,
      mode: modes.length === 1 ? '' : isOnce ? t.atStart : t.mode({ n: mode + 1 }),
      sources,
      captures: capture ? [capture] : [],
      ...(leftOver && { leftOver }),
    }
    return shortFaultOf(pattern) === null
      ? {
          sources,
          parts: kindsOfPattern(pattern).map((kind) =>
            titleOfShort({ ...kind.part, ...common }, startsOf(pattern, kind, sources)),
          ),
        }
      : null
  })
  const stated = titles.filter((one) => one !== null)
  if (stated.length < titles.length) return null
  const title = {
    ...(stated[mainOf(modes)]?.parts[0] as Title),
    modes: stated.map(({ parts }, k) => ({
      ...(parts[0]?.modes[0] as Title['modes'][number]),
      once: modes[k]?.isOnce ?? false,
      reads: parts.flatMap((part) => part.modes[0]?.reads ?? []),
    })),
  }
  return leaveOpen(title, (mode, read) => {
    const { pattern } = modes[mode] as FoundMode
    const { part } = kindsOfPattern(pattern)[read] as Kind
    const source = stated[mode]?.sources.sampleAfterEdgeNs
    return { ...part.sampleAfterEdgeNs, ...(source && { source }) }
  })
}

type Part = Omit<ShortTitle, keyof Written['text'] | 'mode' | 'sources' | 'captures' | 'leftOver'>

/** Reads of a pattern that a title file has as one: of one shape, and in one frame of those after which they come again. */
interface Kind {
  readonly part: Part
  readonly inFrame: number
}

const kindsOfPattern = ({ fields, shapes, everyFrames }: Pattern): Kind[] => {
  const frame = frameNs(fields.standard)
  return kindsOf(shapes).flatMap(({ shape, reads }) => {
    const offsetsNs = reads.map((read) => fields.readOffsetsNs[read] ?? 0)
    const inFrames = everyFrames === 1 ? [0] : [...new Set(offsetsNs.map((ns) => Math.floor(ns / frame)))]
    return inFrames.map((inFrame): Kind => {
      const isHere = (ns: number): boolean => everyFrames === 1 || Math.floor(ns / frame) === inFrame
      const readOffsetsNs = offsetsNs.filter(isHere).map((ns) => Math.round(ns - inFrame * frame))
      return { inFrame, part: { ...fields, ...fieldsOfShape(shape, fields.rest), readOffsetsNs } }
    })
  })
}

function startsOf(
  { apartNs, shapes, everyFrames, fields }: Pattern,
  { part, inFrame }: Kind,
  sources: ShortTitle['sources'],
): Starts | undefined {
  const { readOffsetsNs: source, readJitterNs: lateSource } = sources
  if (apartNs !== null) return startsApart(apartNs, shapes[0] as Shape, fields.rest, source)
  if (everyFrames === 1) return undefined
  return {
    kind: 'frame',
    offsetsNs: [...part.readOffsetsNs],
    everyFrames,
    inFrame,
    late: { minNs: 0, maxNs: fields.readJitterNs, ...(lateSource && { source: lateSource }) },
    ...(source && { source }),
  }
}

/** What a title file cannot say of a pattern that is tied to frames; `null` where it can say all of it. */
export function shortFaultOf(pattern: Pattern): DocumentError | null {
  if (pattern.apartNs !== null) return null
  for (const { part } of kindsOfPattern(pattern)) {
    // A read of several frames has their time, which the short way to say a title does not know.
    const within = pattern.everyFrames === 1 ? part : { ...part, readOffsetsNs: [0] }
    const read = readShortTitle({ ...within, name: 'x', notes: '' })
    if (!read.ok) return read.error
  }
  return null
}

/** The mode that tells the video standard: of those that are tied to frames the one with the most. */
function mainOf(modes: readonly FoundMode[]): number {
  const most = Math.max(...modes.map(({ pattern }) => pattern.frames))
  return modes.findIndex(({ pattern }) => pattern.frames === most)
}
