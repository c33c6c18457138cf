import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explored } from '../../src/bench/explored.ts'
import { judge } from '../../src/bench/judge.ts'
import type { Judgement } from '../../src/bench/judgement.ts'
import type { LeftOver } from '../../src/bench/left-over.ts'
import { weighTitle } from '../../src/bench/weigh-title.ts'
import { IDENTIFIES, scheduleOf } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import { layOutTitle } from '../../src/title/steps/lay-out-title.ts'
import { arbAnyPair, arbNearPair } from './solver/arbitrary-pair.ts'
import type { DrawnPair } from './solver/arbitrary-pair.ts'
import { arbHeldUpPair } from './solver/arbitrary-held-up.ts'
import { Pair } from './solver/pair.ts'
import { Solver } from './solver/solver.ts'
import type { Visit } from './solver/visits.ts'

/**
 * A title in front of a profile as an SMT solver understands it: every instant, reply and reset a whole number within its range, every
 * rule of the port a formula, and the question whether any timing of the first frames misreads. The judge has to say the same.
 */

let solver: Solver
beforeAll(async () => {
  solver = await Solver.start()
})
afterAll(() => solver.stop())

const isLong = process.env['NINEPIN_LONG'] !== undefined

const FRAMES = 2
/** What comes later than this is not asked for. */
const MOST_FRAMES = 4

const weighedOf = ({ profile, title, adapter }: DrawnPair) => {
  const box = boxOf(profile, title, adapter)
  const exploration = explored(title, profile.chart, box)
  return weighTitle(profile, title, box, exploration)
}

interface AskedPair extends DrawnPair {
  /** The same title without something of it that may decide. */
  readonly plain?: DrawnPair
}

const isWrong = (pair: DrawnPair): boolean => weighedOf(pair).weighed.wrongs.size > 0

const asks = ({ title }: DrawnPair): boolean => title.sixButtons.kind === 'told'

/** Pairs in which it is wrong only because something holds the title up. */
const arbSpoiledPair = arbHeldUpPair.filter((pair) => isWrong(pair) && !isWrong(pair.plain))

interface RightPair extends AskedPair {
  readonly leftOver: LeftOver
  /** Of the samples alone; infinite where nothing that moves one of them hurts. */
  readonly samplesNs: number
}

const arbRight: fc.Arbitrary<RightPair> = fc
  .oneof<fc.Arbitrary<AskedPair>[]>(arbNearPair, arbHeldUpPair)
  .map((pair) => ({ pair, ...weighedOf(pair) }))
  .filter(({ leftOver }) => leftOver !== null)
  .map(({ pair, leftOver, weighed }) => ({
    ...pair,
    leftOver: leftOver as LeftOver,
    samplesNs: weighed.marginNs,
  }))

const judgementOf = ({ profile, title, adapter }: DrawnPair): Judgement =>
  judge(profile, title, { adapter, marginNs: 0 })

/** From which frame on reads go on with what was counted before power-on, where that is more than without it. */
const goesOnFrom = (leftOver: LeftOver): number | null =>
  leftOver.kind === 'stays' || leftOver.goesOn.length === 0
    ? null
    : Math.min(...leftOver.goesOn.map(({ frame }) => frame))

/** A sample that waits for an identification still to come is taken with all that this can meet: its margin may be too small. */
function isStricter(title: Title, tightest: Judgement['tightest']): boolean {
  const { samples, sixButtons } = scheduleOf(title)
  if (tightest === null || sixButtons.kind !== 'told') return false
  const waits = samples.some(({ when, place }) => when === 'six-buttons' && place.step === tightest.step - 1)
  const told = samples[sixButtons.by[0]?.samples[0] ?? -1]
  return waits && tightest.step - 1 < (told?.place.step ?? 0)
}

const saidOf = (leftOver: LeftOver | null): string | number | undefined =>
  leftOver?.kind === 'settles' ? leftOver.reads : leftOver?.kind

/** The same title if it never asked for six buttons and read nothing that waits for them, where something is left of it then. */
function withoutAsking(pair: DrawnPair): DrawnPair | undefined {
  const title: Title = {
    ...pair.title,
    sixButtons: { kind: 'never' },
    modes: pair.title.modes.map((mode) => ({
      ...mode,
      reads: mode.reads.map((read) => ({
        ...read,
        steps: read.steps.filter(
          (step) => !('sample' in step) || (step.when === 'always' && Object.keys(step.sample).length > 0),
        ),
      })),
    })),
  }
  return layOutTitle(title).ok ? { ...pair, title } : undefined
}

/** Pairs that what is left over spoils in other reads, or in more, because the title asks for six buttons. */
const arbRightAsking = arbRight.filter((pair) => {
  const without = asks(pair) ? withoutAsking(pair) : undefined
  return without !== undefined && saidOf(pair.leftOver) !== saidOf(weighedOf(without).leftOver)
})

/** Nobody asks for a margin beyond it. */
const MOST_NS = 250_000_000

const sometimes = (kinds: Readonly<Record<string, number>>, least: number): void => {
  for (const [kind, count] of Object.entries(kinds)) expect(count, kind).toBeGreaterThanOrEqual(least)
}

describe('an SMT solver', () => {
  test('finds a timing that misreads exactly where the judge says that there is one', async () => {
    const kinds = { right: 0, wrong: 0, heldUp: 0, heldUpWithIdentification: 0 }
    const arbPair = fc.oneof<{ weight: number; arbitrary: fc.Arbitrary<AskedPair> }[]>(
      { weight: 5, arbitrary: arbAnyPair },
      { weight: 1, arbitrary: arbHeldUpPair },
      { weight: 1, arbitrary: arbSpoiledPair.filter((pair) => !asks(pair)) },
      { weight: 1, arbitrary: arbSpoiledPair.filter(asks) },
    )
    await fc.assert(
      fc.asyncProperty(arbPair, async (pair) => {
        const { exploration, weighed } = weighedOf(pair)
        const examples = [...weighed.wrongs.values()]
        // Past the first frames the solver is not asked; a belief of an early read can be wrong beside one that only comes later.
        const isLate = exploration.samples.some(
          ({ sample, awayNs, frame }) => awayNs === 0 && frame >= FRAMES && sample.uses.includes(IDENTIFIES),
        )
        if (isLate || (examples.length > 0 && examples.every(({ example }) => example.place.frame > FRAMES)))
          return
        kinds[examples.length > 0 ? 'wrong' : 'right']++
        if (pair.plain && isWrong(pair.plain) !== examples.length > 0)
          kinds[asks(pair) ? 'heldUpWithIdentification' : 'heldUp']++
        expect(await new Pair(solver, pair).misreads(FRAMES)).toBe(examples.length > 0)
      }),
      { numRuns: isLong ? 2_000 : 200, endOnFailure: true },
    )
    sometimes(kinds, 5)
  })

  test('finds one at the margin and none below it', async () => {
    const kinds = { sample: 0, moved: 0, none: 0, heldUp: 0 }
    const arbMargin = arbRight
      .map((pair) => ({ pair, judgement: judgementOf(pair) }))
      .filter(({ judgement }) => judgement.verdict !== 'misread')
    const isMoved = ({ pair, judgement }: { pair: RightPair; judgement: Judgement }): boolean =>
      judgement.marginNs !== null && judgement.marginNs < pair.samplesNs
    const isHeldUp = ({ pair, judgement }: { pair: RightPair; judgement: Judgement }): boolean =>
      pair.plain !== undefined && judgementOf(pair.plain).marginNs !== judgement.marginNs
    await fc.assert(
      fc.asyncProperty(
        fc.oneof(
          { weight: 3, arbitrary: arbMargin },
          { weight: 1, arbitrary: arbMargin.filter(isMoved) },
          { weight: 1, arbitrary: arbMargin.filter(({ judgement }) => judgement.marginNs === null) },
          { weight: 1, arbitrary: arbMargin.filter(isHeldUp) },
        ),
        async ({ pair, judgement }) => {
          const { marginNs, tightest } = judgement
          const asked = new Pair(solver, pair)
          const identified = await asked.identified(FRAMES)
          const goesOn = goesOnFrom(pair.leftOver)
          const fresh = (byNs: number, frames: number): Promise<boolean> =>
            asked.goesWrong({ begins: 'fresh', frames }, byNs, identified)
          const leftOver = (byNs: number, from: number): Promise<boolean> =>
            asked.goesWrong(
              { begins: 'left-over', frames: Math.max(FRAMES, from + 1) },
              byNs,
              identified,
              ({ frame }) => frame >= from,
            )
          const belowNs = (marginNs ?? MOST_NS) - 1
          expect(await fresh(belowNs, FRAMES)).toBe(false)
          if (goesOn !== null && goesOn < MOST_FRAMES) expect(await leftOver(belowNs, goesOn)).toBe(false)
          const moves = isMoved({ pair, judgement })
          kinds[marginNs === null ? 'none' : moves ? 'moved' : 'sample']++
          if (isHeldUp({ pair, judgement })) kinds.heldUp++
          if (marginNs === null || (!moves && isStricter(pair.title, tightest))) return
          const frames = tightest?.frame ?? 1
          if (frames > MOST_FRAMES) return
          // What moves can also make a count stay that was left over, and the tightest sample can be one with such a count.
          const isFound =
            (await fresh(marginNs, Math.max(FRAMES, frames))) ||
            ((moves || goesOn !== null) && (await leftOver(marginNs, goesOn ?? MOST_FRAMES - 1)))
          expect(isFound).toBe(true)
        },
      ),
      { numRuns: isLong ? 400 : 50, endOnFailure: true },
    )
    sometimes(kinds, 1)
  })

  test('finds what a count that is left over spoils in the reads of which that is said, and in none after them', async () => {
    const kinds = { right: 0, settles: 0, stays: 0, asking: 0 }
    const spoils = ({ leftOver }: RightPair): boolean => leftOver.kind === 'stays' || leftOver.reads > 0
    const arbPair = fc.oneof(
      { weight: 2, arbitrary: arbRight },
      { weight: 2, arbitrary: arbRight.filter(spoils) },
      { weight: 1, arbitrary: arbRightAsking },
    )
    await fc.assert(
      fc.asyncProperty(arbPair, async (pair) => {
        const { leftOver, title } = pair
        if (asks(pair)) kinds.asking++
        const asked = new Pair(solver, pair)
        const identified = await asked.identified(FRAMES)
        const reads = scheduleOf(title).readsPerFrame
        const readOf = ({ frame, node }: Visit): number => frame * reads + node.read
        const goesWrong = (frames: number, isAsked: (read: number) => boolean): Promise<boolean> =>
          asked.goesWrong({ begins: 'left-over', frames }, 0, identified, (visit) => isAsked(readOf(visit)))
        if (leftOver.kind === 'stays') {
          kinds.stays++
          expect(await goesWrong(MOST_FRAMES, (read) => read >= (MOST_FRAMES - 2) * reads)).toBe(true)
          return
        }
        const frames = Math.ceil(leftOver.reads / reads) + 1
        if (frames > MOST_FRAMES) return
        kinds[leftOver.reads === 0 ? 'right' : 'settles']++
        expect(await goesWrong(frames, (read) => read >= leftOver.reads)).toBe(false)
        if (leftOver.reads > 0)
          expect(await goesWrong(frames, (read) => read === leftOver.reads - 1)).toBe(true)
      }),
      { numRuns: isLong ? 400 : 60, endOnFailure: true },
    )
    sometimes(kinds, 1)
  })
})
