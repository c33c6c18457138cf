import type { Ask } from './controls-to-ask.ts'
import { PLACE_KINDS, isDiscrete } from './places.ts'
import type { ReportPlace, PlaceKind } from './places.ts'
import type { PressTrace, Watch } from './watch.ts'

/** A shorter one is a knock, a bounce or a spike. */
export const LONG_ENOUGH_MS = 60
/** A digital bit that comes so late beside an analogue trigger is the click at its end. */
const LATE_SHARE = 0.6
/** What was away for so much of the time, and moved so much of the way, moved along. */
const ALONG_TIME = 0.5
const ALONG_WAY = 0.8
/** A byte that had so many values within one press is no bits. */
const ANALOGUE_VALUES = 4

/** What one press came to. */
export interface PressOutcome {
  readonly place: ReportPlace
  readonly trace: PressTrace
  /** The other kind of place in which the same control shows, which was not taken. */
  readonly other: ReportPlace | null
  /** One of the same kind that moved along as much: two were pressed at once, or a stick was pushed aslant. */
  readonly rival: ReportPlace | null
}

interface Candidate {
  readonly place: ReportPlace
  readonly trace: PressTrace
  /** It is not back yet. */
  readonly away: boolean
}

const STICK_KINDS: readonly PlaceKind[] = ['axis', 'hat', 'raw-byte', 'raw-hat']
/** A cross in undescribed bytes may be a hat: its bits are told apart when all four are known. */
const CROSS_KINDS: readonly PlaceKind[] = PLACE_KINDS.map((kind) =>
  kind === 'raw-bit' ? 'raw-hat' : kind === 'raw-hat' ? 'raw-bit' : kind,
)

const kindsFor = (ask: Ask): readonly PlaceKind[] => {
  if (ask.kind !== 'press') return STICK_KINDS
  return ask.control.startsWith('dpad-') ? CROSS_KINDS : PLACE_KINDS
}

/** A button or trigger goes one way from rest: what is read with a sign is an axis. */
const isOneWay = (ask: Ask): boolean => ask.kind === 'press' && !ask.control.startsWith('dpad-')

const sameByte = (a: ReportPlace, b: ReportPlace): boolean =>
  a.field.report === b.field.report && a.field.bit >> 3 === b.field.bit >> 3

/** A byte that moved as a number: by many values, or in both its halves at once. */
function isNumber({ place, trace }: Candidate): boolean {
  const changed = (trace.value ^ Math.round(trace.rest)) & 0xff
  return (
    trace.values >= ANALOGUE_VALUES ||
    ((changed & 0x0f) !== 0 && (changed & 0xf0) !== 0 && place.field.bits === 8)
  )
}

/** Greater for what is more likely meant, among places of one kind. */
function likelihood({ place, trace }: Candidate): number {
  switch (place.kind) {
    case 'raw-byte':
      // The low half of a longer number, or one read with the wrong sign, jumps to and fro and does not stay out.
      return trace.share * trace.straightness * trace.awayMs
    case 'raw-bit':
    case 'raw-hat':
      return trace.awayMs - 20 * trace.changes
    default:
      return trace.share
  }
}

const finding = (
  { place, trace }: Candidate,
  other: ReportPlace | null,
  rival: ReportPlace | null,
): PressOutcome => ({
  place,
  trace,
  other,
  rival,
})

function isRival(ask: Ask, best: Candidate, { place, trace }: Candidate): boolean {
  const kinds: readonly PlaceKind[] = ask.kind === 'press' ? ['button', 'raw-bit'] : ['axis']
  return (
    place !== best.place &&
    place.kind === best.place.kind &&
    kinds.includes(place.kind) &&
    trace.awayMs >= ALONG_TIME * best.trace.awayMs &&
    trace.share >= ALONG_WAY * best.trace.share
  )
}

/** What the user meant with a press, out of all that moved; `null` if nothing moved clearly for long enough. */
export function decide(
  ask: Ask,
  watches: readonly Watch[],
  longEnoughMs = LONG_ENOUGH_MS,
): PressOutcome | null {
  const kinds = kindsFor(ask)
  const moved = watches
    .filter(({ aside, place }) => aside === null && kinds.includes(place.kind))
    .filter(({ place }) => !(place.kind === 'raw-byte' && place.field.signed && isOneWay(ask)))
    .map((watch): Candidate => ({ place: watch.place, trace: watch.trace, away: watch.away }))
    .filter(({ trace }) => trace.awayMs >= longEnoughMs)
  const numbers = moved.filter((one) => one.place.kind === 'raw-byte' && isNumber(one))
  const candidates = moved
    .filter(
      ({ place }) =>
        (place.kind !== 'raw-bit' && place.kind !== 'raw-hat') ||
        !numbers.some((number) => sameByte(number.place, place)),
    )
    .toSorted((a, b) => {
      const rank = kinds.indexOf(a.place.kind) - kinds.indexOf(b.place.kind)
      if (rank !== 0) return rank
      // What stays away was not meant, nor was a neighbour that was brushed.
      return (
        likelihood(b) - likelihood(a) || Number(a.away) - Number(b.away) || b.trace.awayMs - a.trace.awayMs
      )
    })
  const [best] = candidates
  if (best === undefined) return null

  const rival = candidates.find((one) => isRival(ask, best, one))?.place ?? null
  const digital = best.place.kind === 'button' || best.place.kind === 'array'
  const isTrigger = ask.kind === 'press' && ask.control.startsWith('trigger-')
  const analogue = isTrigger && digital ? candidates.find(({ place }) => place.kind === 'axis') : undefined
  if (analogue === undefined) return finding(best, null, rival)
  return best.trace.awayMs < LATE_SHARE * analogue.trace.awayMs
    ? finding(analogue, best.place, null)
    : finding(best, analogue.place, rival)
}

/** Whether two findings are on one axis; the two axes of a stick never are. */
export const sameAxis = ({ place: a }: PressOutcome, { place: b }: PressOutcome): boolean =>
  !isDiscrete(a) && a.field.report === b.field.report && a.field.bit === b.field.bit

/** Whether two findings are the same place, held the same way. */
export function sameSpot(a: PressOutcome, b: PressOutcome): boolean {
  const [one, other] = [a.place, b.place]
  if (one.field.report !== other.field.report || one.field.bit !== other.field.bit) return false
  if (one.field.bits !== other.field.bits || one.kind !== other.kind) return false
  if (one.kind === 'array' || one.kind === 'hat' || one.kind === 'raw-hat')
    return a.trace.value === b.trace.value
  return a.trace.value > a.trace.rest === b.trace.value > b.trace.rest
}
