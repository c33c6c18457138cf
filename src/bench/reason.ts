import { phaseAt } from '../port/chart.ts'
import type { Phase } from '../port/chart.ts'
import { cellWord, inputList } from '../port/input-texts.ts'
import { PINS } from '../port/pins.ts'
import type { Pin } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { modeWords } from '../title/mode-words.ts'
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
  const { unseen, sixButtons } = judgement
  const said = [marginReason(judgement, title, slowestNs)]
  if (title.idle === 'low') said.push(t.idlesLow)
  const release = releaseOf(title)
  if (release !== null) said.push(t.releases({ release }))
  if (sixButtons === true) said.push(unseen.length === 0 ? t.readsAll : t.sixButtons)
  const facts = rowWords(said)
  const reason = title.fragile && judgement.verdict === 'clean' ? t.fragile({ facts }) : t.facts({ facts })
  const where =
    judgement.verdict === 'tight' && judgement.tightest ? whereWords(judgement.tightest, title) : null
  return where === null ? reason : t.marginIn({ reason, where })
}

/** Which read of a title it is, within a sentence; `null` where it has one. */
function whereWords({ mode: m, readOfMode }: SamplePlace, title: Title): string | null {
  const mode = modeWords(title, m - 1)
  const isOnly = title.modes[m - 1]?.reads.length === 1
  const nth = ordinalWord(readOfMode)
  if (mode === null) return isOnly ? null : t.readOnly({ nth })
  return t.among({ reads: isOnly ? 'one' : 'several', nth, mode })
}

/** Whether a title releases select, and whether it waits for every rise. */
function releaseOf(title: Title): 'waits' | 'goes-on' | null {
  if (title.rise === null) return null
  const releases = title.modes
    .flatMap(({ reads }) => reads.flatMap(({ steps }) => steps))
    .flatMap((step) => ('repeat' in step ? step.steps : [step]))
    .flatMap((step) => ('select' in step && step.select === 'release' ? [step.waits] : []))
  return releases.length === 0 ? null : releases.every((waits) => waits) ? 'waits' : 'goes-on'
}

function marginReason(
  { verdict, isWhole, marginNs, tightest }: Omit<Judgement, 'reason'>,
  title: Title,
  slowestNs: number,
): string {
  if (!isWhole && marginNs !== null) return t.provedMargin({ margin: timeWord(marginNs) })
  if (marginNs === null || tightest === null) return t.anyTiming
  const margin = timeWord(marginNs)
  if (verdict !== 'tight') return t.margin({ margin })
  const { by, afterEdgeNs } = tightest
  if (by === 'reset') return t.resetMargin({ margin })
  const [after, slowest] = [timeWord(afterEdgeNs), timeWord(slowestNs)]
  if (by === 'edge')
    // Otherwise it is not the edge before the sample that is near it.
    return afterEdgeNs - slowestNs === marginNs
      ? t.sampleMargin({ after, slowest, margin })
      : t.margin({ margin })
  const riseNs = scheduleOf(title).rise?.maxNs ?? 0
  return afterEdgeNs - riseNs - slowestNs === marginNs
    ? t.releasedMargin({ after, rise: timeWord(riseNs), slowest, margin })
    : t.riseMargin({ margin })
}

/** What goes wrong in an example, why, what the title makes of it, and in which of its reads. */
export function misreadReason(
  example: Counterexample,
  profile: Profile,
  title: Title,
  slowestNs: number,
): string {
  const reason = whyMisread(example, profile, title, slowestNs)
  // Opposite directions are no fault of a sample.
  const where = example.cause === 'opposite' ? null : whereWords(example.place, title)
  return where === null ? reason : t.happensIn({ reason, where })
}

function whyMisread(example: Counterexample, profile: Profile, title: Title, slowestNs: number): string {
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
    case 'slow-rise': {
      const riseNs = scheduleOf(title).rise?.maxNs ?? 0
      const shortNs = riseNs + slowestNs - place.afterEdgeNs
      // A line that an earlier read released is not counted from here.
      if (example.shortNs !== shortNs) return t.slowRise({ after, effect })
      const [rise, slowest] = [timeWord(riseNs), timeWord(slowestNs)]
      return shortNs === 0
        ? t.atTheRise({ after, rise, slowest, effect })
        : t.beforeTheRise({ after, rise, slowest, short: timeWord(shortNs), effect })
    }
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
        // As on the phase chart: each rise opens a cycle.
        cycle: place.rises + 1,
        level: cellWord(place.shownLevel),
        ...contents(phase, example.pins),
        effect,
      })
    }
  }
}

/** Whether the rising edges came within the read, or were left over from earlier ones. */
function howTheCountCame(title: Title, place: SamplePlace): string {
  const own = place.cycle - 1
  if (place.rises < own) return scheduleOf(title).rise !== null ? t.lostRises : t.resetWithin
  if (place.rises === own) {
    const n = cyclesIn(title, place)
    return t.cycles({ n, count: numberWord(n) })
  }
  // What is polled is tied to no frame.
  if (title.modes[place.mode - 1]?.reads[0]?.starts.kind === 'interval') return t.noResetInPolls
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

/** What a phase is known by. */
export function carriedBy(phase: Phase): 'identification' | 'end-mark' | 'cells' {
  if (DIRECTION_PINS.every((pin) => phase[pin] === 'low')) return 'identification'
  return DIRECTION_PINS.every((pin) => phase[pin] === 'high') ? 'end-mark' : 'cells'
}

function contents(phase: Phase, pins: readonly Pin[]) {
  const carries = carriedBy(phase)
  if (carries !== 'cells') return { carries, cells: '' } as const
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
