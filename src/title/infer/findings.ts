import type { VideoStandard } from '../../port/clocks.ts'
import type { Level } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { PadValues } from '../replies/pad-findings.ts'
import type { Noted } from '../select-line.ts'
import type { kindsOf } from './shapes.ts'

/**
 * How sure a finding is: `sure` is seen throughout a capture that is long enough; `likely` is seen, but not always or not often
 * enough; a `guess` is what edges alone do not show.
 */
export type Sureness = 'sure' | 'likely' | 'guess'

/** On how many of these things a finding stands. */
export interface Evidence {
  readonly seen: number
  readonly of: number
  readonly things: 'frames' | 'reads' | 'phases'
}

/** What can be found, by name; times are ns on the capture's clock. */
interface Values extends PadValues {
  readonly rest: Level
  readonly 'cycles-per-read': number
  readonly 'edge-spacing': RangeNs
  /** Where the reads of a frame are of several shapes: each with its reads, from 0 in the order of the frame. */
  readonly 'read-kinds': ReturnType<typeof kindsOf>
  /** From the last edge of one read to the first of the next; `clear` where none could be a phase of a read as well. */
  readonly gaps: RangeNs & { readonly clear: boolean }
  readonly 'frame-rate': { readonly hz: number; readonly everyFrames: number }
  /** Parts per million that the frame rate is above the standard's; without a standard it fits neither, and `nearest` is taken. */
  readonly standard: {
    readonly standard: VideoStandard | null
    readonly nearest: VideoStandard
    readonly ppm: number
  }
  readonly 'reads-per-frame': number
  /** From the first read of the frame. */
  readonly 'read-offsets': readonly number[]
  readonly 'read-jitter': { readonly seenNs: number; readonly takenNs: number }
  /** Parts per million that the title's clock is taken to be off. */
  readonly 'clock-tolerance': number
  readonly sample: RangeNs
  /** From the last edge of a read, or of anything else, to the first of the next read; no frame ties them. */
  readonly untied: RangeNs
  /** Where a six-button pad would identify itself and give its extra buttons; nothing where the read is too short. */
  readonly 'six-buttons': { readonly identifiedInCycle: number; readonly extraInCycle: number } | null
  readonly samples: 'three-buttons'
  readonly drive: 'driven'

  /** How often a mode was seen, and when first. */
  readonly mode: Noted & { readonly things: 'frames' | 'reads' }
  /** Reads whose number of cycles is not the usual one. */
  readonly 'other-reads': readonly {
    readonly cycles: number
    readonly reads: number
    readonly firstNs: number
  }[]
  /** Stretches from one long rest to the next with edges that the title does not do: see `left-over.ts`. */
  readonly 'left-over': Noted
  readonly 'skipped-frames': Noted
  readonly 'uneven-frames': Noted
  readonly strays: number
  readonly 'cut-reads': { readonly atStart: boolean; readonly atEnd: boolean }
  readonly 'broken-reads': Noted
  readonly glitches: Noted
  readonly unknown: Noted
  readonly undriven: Noted
  /** Time between samples, where the line was sampled at all. */
  readonly sampled: number
  /** The capture has more edges, or reads, than are kept: where they end. */
  readonly 'cut-off': { readonly atNs: number }
}

export type What = keyof Values

/** One thing that a capture shows, or that had to be guessed; data, for words see `finding-words.ts`. */
export interface CaptureFindingOf<W extends What> {
  readonly what: W
  readonly value: Values[W]
  readonly sureness: Sureness
  readonly evidence?: Evidence
  /** Of which of the title's modes, from 1; left out where it is of all. */
  readonly mode?: number
}

export type CaptureFinding = { readonly [W in What]: CaptureFindingOf<W> }[What]

/** Why a line has no edge that anything could be seen from. */
export type NoEdges =
  | { readonly kind: 'empty' }
  | { readonly kind: 'never-known' }
  | { readonly kind: 'constant'; readonly level: Level }

/** Why no title came out, in front of what could be found all the same. */
export type InferFault = { readonly findings: readonly CaptureFinding[] } & (
  | NoEdges
  | { readonly kind: 'clock'; readonly hz: number }
  | { readonly kind: 'never-rests' }
  | { readonly kind: 'irregular' }
  | { readonly kind: 'too-short'; readonly frames: number }
  /** It has frames and reads, but they do not make a title: the title's field and what is wrong there. */
  | { readonly kind: 'no-title'; readonly place: string; readonly complaint: string }
)
