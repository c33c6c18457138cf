import { phaseAt } from '../port/chart.ts'
import type { Phase } from '../port/chart.ts'
import { cellWord, inputList } from '../port/input-texts.ts'
import { PINS } from '../port/pins.ts'
import type { Pin } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { timeWord } from '../words/figures.ts'
import { listWords, rowWords } from '../words/lists.ts'
import { numberWord, ordinalWord } from '../words/number-texts.ts'
import type { Counterexample, Judgement, SamplePlace } from './judgement.ts'
import { t } from './reason-texts.ts'

/**
 * Why a title reads right, in one sentence, as a technician would put it.
 *
 * @param slowestNs the longest time that a reply can take
 */
export function reasonFor(
  judgement: Omit<Judgement, 'reason'>,
  profile: Profile,
  title: Title,
  slowestNs: number,
): string {
  const { marginNs, tightest, unseen, sixButtons } = judgement
  const said = [marginReason(marginNs, tightest, judgement.verdict === 'tight', slowestNs)]
  if (title.idle === 'low') said.push(t.idlesLow)
  if (scheduleOf(title).rise !== null) said.push(t.releases)
  if (sixButtons === true) said.push(unseen.length === 0 ? t.readsAll : t.sixButtons)
  const facts = rowWords(said)
  return title.fragile && judgement.verdict === 'clean' ? t.fragile({ facts }) : t.facts({ facts })
}

function marginReason(
  marginNs: number | null,
  tightest: Judgement['tightest'],
  tight: boolean,
  slowestNs: number,
): string {
  if (marginNs === null || tightest === null) return t.anyTiming
  const margin = timeWord(marginNs)
  if (!tight) return t.margin({ margin })
  if (tightest.by === 'reset') return t.resetMargin({ margin })
  return t.sampleMargin({ after: timeWord(tightest.afterEdgeNs), slowest: timeWord(slowestNs), margin })
}

/** What goes wrong in an example, why, and what the title makes of it. */
export function misreadReason(
  example: Counterexample,
  profile: Profile,
  title: Title,
  slowestNs: number,
): string {
  const { place } = example
  const effect = effectOf(example)
  const after = timeWord(place.afterEdgeNs)
  switch (example.cause) {
    case 'settling': {
      const shortNs = example.shortNs ?? slowestNs - place.afterEdgeNs
      const slowest = timeWord(slowestNs)
      return shortNs === 0
        ? t.atTheLimit({ after, slowest, effect })
        : t.tooEarly({ after, slowest, short: timeWord(shortNs), effect })
    }
    case 'slow-rise':
      return t.slowRise({ after, effect })
    case 'belief':
      return t.falseSix({ inputs: inputList(example.held), effect })
    case 'read-back':
      return t.readBack({ level: cellWord(place.shownLevel), effect })
    case 'opposite':
      return t.opposite({ inputs: inputList(example.held) })
    case 'count': {
      const phase = phaseAt(profile.chart, place.rises, place.shownLevel)
      return t.count({
        cause: howTheCountCame(title, place),
        // Counted as a title would count from its idle level.
        nth: ordinalWord(place.rises + (title.idle === 'high' ? 1 : 0)),
        level: cellWord(place.shownLevel),
        ...contents(phase, example.pins),
        effect,
      })
    }
  }
}

/** Whether the rising edges came within the read, or were left over from earlier ones. */
function howTheCountCame(title: Title, place: SamplePlace): string {
  const own = place.cycle - (title.idle === 'high' ? 1 : 0)
  if (place.rises < own) return scheduleOf(title).rise !== null ? t.lostRises : t.resetWithin
  if (place.rises === own) {
    const n = cyclesIn(title, place)
    return t.cycles({ n, count: numberWord(n) })
  }
  return place.read === 1
    ? t.noResetInFrames
    : t.noResetInReads({ count: numberWord(scheduleOf(title).readsPerFrame) })
}

/** Cycles of the read that a sample is taken in. */
function cyclesIn(title: Title, place: SamplePlace): number {
  const { nodes } = scheduleOf(title)
  const falls = nodes.filter(
    ({ mode, readOfFrame, writes }) =>
      mode === place.mode - 1 && readOfFrame === place.read - 1 && writes === 'low',
  )
  const rings = new Set(falls.map(({ read }) => read)).size
  return Math.max(1, Math.round(falls.length / Math.max(1, rings)))
}

const DIRECTION_PINS: readonly Pin[] = [1, 2, 3, 4]

function contents(phase: Phase, pins: readonly Pin[]) {
  if (DIRECTION_PINS.every((pin) => phase[pin] === 'low'))
    return { carries: 'identification', cells: '' } as const
  if (DIRECTION_PINS.every((pin) => phase[pin] === 'high')) return { carries: 'end-mark', cells: '' } as const
  const carried = PINS.filter((pin) => pins.includes(pin))
  const cells = listWords(carried.map((pin) => t.cellOnPin({ cell: cellWord(phase[pin]), pin })))
  return { carries: 'cells', cells } as const
}

function effectOf({ held, phantom, missed }: Counterexample): string {
  const seen = held.length === 0 ? 'takes' : 'sees'
  return t.effect({
    effect: phantom.length === 0 ? 'misses' : missed.length === 0 ? seen : `${seen}-misses`,
    held: inputList(held),
    phantom: inputList(phantom),
    missed: inputList(missed),
  })
}
