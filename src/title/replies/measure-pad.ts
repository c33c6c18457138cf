import type { Pin } from '../../port/pins.ts'
import { canHideEdges } from '../sampling-step.ts'
import type { Noted, SelectLine } from '../select-line.ts'
import { cellsOf } from './cells.ts'
import { changesOf } from './changes.ts'
import type { Changes } from './changes.ts'
import type { DataLine } from './data-lines.ts'
import { decode, isExplained } from './decode.ts'
import type { Decoded } from './decode.ts'
import { heldInputs, heldThrough } from './held.ts'
import type { HeldInput } from './held.ts'
import { idleResetOf } from './idle-reset.ts'
import type { IdleReset } from './idle-reset.ts'
import { PAD_MODELS } from './pad-model.ts'
import type { Held, PadKind } from './pad-model.ts'
import { SETTLED_BY_NS, endOf, isHigh, phasesOf, startOf } from './phases.ts'
import type { Phases } from './phases.ts'
import { replyTime } from './reply-time.ts'
import type { ReplyTime } from './reply-time.ts'
import { segmentsOf } from './segments.ts'
import type { Segment } from './segments.ts'
import { timeStepNs } from './time-step.ts'

/** What the data lines of a capture tell of the pad that replied in it. */
export interface MeasuredPad {
  readonly pins: readonly Pin[]
  /** Lines that never change. */
  readonly still: readonly Pin[]
  readonly stepNs: number
  /** The tables that the replies fit. Empty if they fit none, if the reads that tell them apart are too few, or if no line ever changes. */
  readonly kinds: readonly PadKind[]
  /** Whether some table explains the replies, be it by accident. */
  readonly isExplained: boolean
  /** Segments of the line that tell the table from the other one, and all of them. */
  readonly telling: number
  readonly segments: number
  /** Segments that no table explains, where one explains the others. */
  readonly odd: Noted
  readonly reply: ReplyTime | null
  readonly idleReset: IdleReset | null
  /** Whether samples are too far apart for every rise to be counted. */
  readonly hidesEdges: boolean
  readonly held: readonly HeldInput[]
  readonly changes: Changes | null
}

/** The same with what was held in each stretch of the line, from when to when. */
export interface MeasuredInFull extends MeasuredPad {
  readonly stretches: readonly (Held & { readonly fromNs: number; readonly toNs: number })[]
}

/** More of the line than this share of it that no table explains, and nothing is claimed. */
const MOST_ODD = 0.1
/** So many segments have to speak for a table, and so many times as many as for the other. */
const LEAST_TELLING = 2
const OUTWEIGHS = 10

export function measurePad(select: SelectLine, lines: readonly DataLine[]): MeasuredInFull | null {
  if (lines.length === 0) return null
  const still = lines.filter(({ timesNs }) => timesNs.length < 2).map(({ pin }) => pin)
  const stepNs = timeStepNs(select, lines)
  const hidesEdges = canHideEdges(stepNs)
  const phases = phasesOf(select, lines, stepNs)
  const segments = still.length === lines.length ? [] : segmentsOf(phases)
  const all = PAD_MODELS.map((model) => decode(model, phases, segments))
  const fitting = fittingOf(all, phases, segments)
  const of = {
    pins: lines.map(({ pin }) => pin),
    still,
    stepNs,
    kinds: fitting.map(({ model }) => model.kind),
    isExplained: all.some((one) => explains(one)),
    telling: 0,
    segments: segments.length,
    hidesEdges,
  }
  if (fitting.length === 0)
    return { ...of, odd: NONE, reply: null, idleReset: null, held: [], changes: null, stretches: [] }

  const cells = cellsOf(phases, segments, fitting)
  const models = fitting.map(({ model }) => model)
  const opens = new Set(segments.map(({ first }) => first))
  const reply = replyTime(phases, cells, opens, stepNs)
  const counts = fitting.every(({ model }) => model.kind !== 'three-buttons')
  const errors = { stepNs, replyNs: reply?.maxNs ?? SETTLED_BY_NS }
  const held = heldThrough(phases, segments, fitting)
  return {
    ...of,
    telling: tellingOf(fitting, all),
    odd: oddIn(phases, segments, fitting),
    reply,
    idleReset: counts && !hidesEdges ? idleResetOf(phases, segments, fitting, cells, errors) : null,
    held: heldInputs(held),
    changes: changesOf(phases, cells, models, new Set(segments.map(({ last }) => last))),
    stretches: segments.flatMap(({ first, last }, k) => {
      const one = held[k] ?? null
      if (one === null) return []
      const toNs = Math.min(endOf(phases, last), startOf(phases, last) + SETTLED_BY_NS)
      return [{ ...one, fromNs: startOf(phases, first), toNs }]
    }),
  }
}

const NONE: Noted = { count: 0, firstNs: 0 }

/** Pins that are low in each low phase of a three-button pad. */
const NEVER_HIGH = PAD_MODELS.find(({ kind }) => kind === 'three-buttons')?.low[0]?.fixedLow ?? 0

const isSix = ({ model }: Decoded): boolean => model.kind !== 'three-buttons'

const explains = ({ odd, starts }: Decoded): boolean => starts.length > 0 && odd <= MOST_ODD * starts.length

/** Segments that one explains and the other does not. */
function onlyOf(one: Decoded, other: Decoded): number[] {
  const only: number[] = []
  one.starts.forEach((_, k) => {
    if (isExplained(one, k) && !isExplained(other, k)) only.push(k)
  })
  return only
}

/** The tables that the replies can be those of. None where they contradict all, or speak for two at once. */
function fittingOf(
  all: readonly Decoded[],
  phases: Phases,
  segments: readonly Segment[],
): readonly Decoded[] {
  const explain = all.filter(explains)
  const beaten = (one: Decoded): boolean =>
    explain.some((other) => {
      const [against, by] = [onlyOf(other, one), onlyOf(one, other)]
      if (against.length < LEAST_TELLING || against.length < OUTWEIGHS * by.length) return false
      return isSix(one) || isMarked(against, phases, segments)
    })
  const left = all.filter((one) => !beaten(one))
  const fitting = left.filter((one) => explain.includes(one))
  // A pad that does not fit may still be the one that was there, while nothing speaks for the other.
  if (left.some((one) => !fitting.some((other) => isSix(one) === isSix(other)))) return []
  const speaks = (one: Decoded, other: Decoded): boolean => onlyOf(one, other).length >= LEAST_TELLING
  const contradicts = fitting.some((one) => fitting.some((other) => speaks(one, other) && speaks(other, one)))
  return contradicts ? [] : fitting
}

/** So many of all segments show identifications where they are no accident. */
const LEAST_IDENTIFIED = 0.2
const MANY_IDENTIFIED = 5
/** The same where few reads were captured. */
const NEARLY_ALL = 0.8
const SOME_IDENTIFIED = 3

/**
 * Whether segments that only a six-button pad explains show one beyond doubt: by end marks, which nothing that is held can make, or by identifications,
 * which look like Up and Down held for one phase, again and again.
 */
function isMarked(which: readonly number[], phases: Phases, segments: readonly Segment[]): boolean {
  const marked = which.filter((k) => {
    const { first, last } = segments[k] as Segment
    for (let phase = first; phase <= last; phase++) {
      const high = (phases.high[phase] as number) & (phases.known[phase] as number)
      if (!isHigh(phases, phase) && (high & NEVER_HIGH) !== 0) return true
    }
    return false
  })
  const share = which.length / segments.length
  const isOften =
    (which.length >= MANY_IDENTIFIED && share >= LEAST_IDENTIFIED) ||
    (which.length >= SOME_IDENTIFIED && share >= NEARLY_ALL)
  return marked.length >= LEAST_TELLING || isOften
}

/** Segments that only the fitting kind of pad explains. */
function tellingOf(fitting: readonly Decoded[], all: readonly Decoded[]): number {
  const [fits] = fitting
  const others = all.filter((one) => fits !== undefined && isSix(one) !== isSix(fits))
  if (fits === undefined || fitting.some((one) => isSix(one) !== isSix(fits))) return 0
  return Math.min(...others.map((other) => onlyOf(fits, other).length))
}

function oddIn(phases: Phases, segments: readonly Segment[], fitting: readonly Decoded[]): Noted {
  const odd = segments.filter((_, k) => !fitting.some((one) => isExplained(one, k)))
  return { count: odd.length, firstNs: odd[0] === undefined ? 0 : startOf(phases, odd[0].first) }
}
