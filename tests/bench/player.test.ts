import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Player } from '../../src/bench/play/player.ts'
import type { PlayedRead } from '../../src/bench/play/player.ts'
import { frameOf, playFrame, playRounds } from '../../src/bench/play/rounds.ts'
import { SelectAtPad } from '../../src/bench/play/select-at-pad.ts'
import type { Change } from '../../src/bench/play/select-at-pad.ts'
import { middleTiming } from '../../src/bench/play/timing.ts'
import type { Timing } from '../../src/bench/play/timing.ts'
import { shapeOf } from '../../src/bench/reach/shape.ts'
import type { RangeNs } from '../../src/port/range.ts'
import type { Level } from '../../src/port/pins.ts'
import { IDENTIFIES, scheduleOf } from '../../src/title/schedule.ts'
import type { Schedule } from '../../src/title/schedule.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbShort } from './arbitrary-title.ts'
import { exactly, gap as gapTo, oneRead } from './hand-schedule.ts'
import { limits, play } from './play.ts'
import type { Draws } from './play.ts'
import { shortSamples } from './short-titles.ts'
import type { Seen } from './watch.ts'
import { draws, often } from '../draws.ts'

/** Times of one kind, one after another, the same again for the same seed; many at the ends of the range, where trouble is. */
function stream(seed: number): (range: RangeNs) => number {
  let state = seed >>> 0
  return ({ minNs, maxNs }) => {
    state = (Math.imul(state ^ (state >>> 15), 0x2c1b3c6d) + 0x6d2b79f5) >>> 0
    const where = (state >>> 8) % 4
    if (where === 0) return minNs
    if (where === 1) return maxNs
    return minNs + ((state >>> 4) % (maxNs - minNs + 1))
  }
}

/** A stream for each kind of time: how many of one kind are asked for shifts no other. */
const streams = (seed: number) => ({
  gap: stream(seed),
  toPlace: stream(seed + 1),
  late: stream(seed + 2),
  sample: stream(seed + 3),
  rise: stream(seed + 4),
  reply: stream(seed + 5),
  idle: stream(seed + 6),
})

function timingFrom(within: ReturnType<typeof limits>, seed: number): Timing {
  const { gap, toPlace, late, sample, rise, reply, idle } = streams(seed)
  return {
    gapNs: gap,
    toPlaceNs: toPlace,
    lateNs: late,
    sampleNs: sample,
    riseNs: rise,
    replyNs: () => reply(within.reply),
    idleResetNs: () => idle(within.idle),
  }
}

function drawsFrom(within: ReturnType<typeof limits>, seed: number): Draws {
  const { gap, toPlace, late, sample, rise, reply, idle } = streams(seed)
  return {
    spacing: () => gap(within.spacing),
    toNextRead: (read) => toPlace(within.toNextRead[read] as RangeNs),
    readStart: () => late(within.readStart),
    sample: () => sample(within.sample),
    rise: () => rise(within.rise),
    reply: () => reply(within.reply),
    idle: () => idle(within.idle),
  }
}

/** What the samples of a read meet, by the samples of the short title. */
function seenIn(short: ShortTitle): (read: PlayedRead) => Seen[] {
  const indices = shortSamples(titleOfShort(short), short)
  return ({ nodes }) =>
    nodes.flatMap(({ met }) =>
      met.flatMap(({ sample, rises, level }) =>
        sample.uses.flatMap((use): Seen[] => {
          const index = use === IDENTIFIES ? ('identify' as const) : (indices[use] ?? null)
          return index === null ? [] : [{ index, rises, level }]
        }),
      ),
    )
}

describe('one timing', () => {
  // The player of tests/bench/play.ts shares no line with src/bench.
  test('is played as an independent player plays it, with a time of its own for everything and any count before', () => {
    const FRAMES = 3
    let resets = 0
    let lost = 0
    let overtaken = 0
    // Replies that take longer than a phase come while later ones are on their way.
    const arbSlow = fc.oneof(
      arbAdapter,
      arbAdapter.map((adapter) => ({ ...adapter, replyNs: { minNs: 0, maxNs: 20_000 } })),
    )
    fc.assert(
      fc.property(
        arbTypicalProfile,
        arbShort,
        arbSlow,
        fc.integer({ min: 0, max: 1e6 }),
        fc.option(fc.record({ rises: fc.nat(6), resetNs: fc.integer({ min: 1, max: 200_000 }) })),
        (profile, short, adapter, seed, before) => {
          const within = limits(profile, short, adapter)
          const player = new Player(
            scheduleOf(titleOfShort(short)),
            timingFrom(within, seed),
            before ?? undefined,
          )
          const reads = Array.from({ length: FRAMES * short.readOffsetsNs.length }, () => player.read())
          expect(reads.map(seenIn(short))).toEqual(
            play(short, drawsFrom(within, seed), FRAMES, before ?? undefined),
          )
          expect(reads.map(({ frame, read }) => [frame, read])).toEqual(
            Array.from({ length: FRAMES }, (_, frame) =>
              short.readOffsetsNs.map((_, read) => [frame, read]),
            ).flat(),
          )
          resets += player.resets
          const shown = player.changes.map(({ shownNs }) => shownNs)
          expect(shown).toEqual(shown.toSorted((p, q) => p - q))
          overtaken += shown.filter((ns, k) => ns === shown[k - 1]).length
          const written = new Set(player.changes.map(({ writtenNs }) => writtenNs))
          if (short.drive.kind === 'released')
            lost += reads.flatMap(({ nodes }) =>
              nodes.filter(({ node, atNs }) => node.writes === 'release' && !written.has(atNs)),
            ).length
        },
      ),
      { numRuns: draws(500) },
    )
    expect(resets).toBeGreaterThan(often(100))
    expect(lost).toBeGreaterThan(often(100))
    expect(overtaken).toBeGreaterThan(often(100))
  })

  test('comes again as it was once what the future hangs on does', () => {
    fc.assert(
      fc.property(arbTypicalProfile, arbShort, arbAdapter, fc.nat(3), (profile, short, adapter, k) => {
        const title = titleOfShort(short)
        const within = limits(profile, short, adapter)
        const steady = (range: RangeNs): number => [range.minNs, range.maxNs][k & 1] as number
        const timing: Timing = {
          gapNs: steady,
          toPlaceNs: steady,
          lateNs: steady,
          sampleNs: steady,
          riseNs: steady,
          replyNs: () => [within.reply.minNs, within.reply.maxNs][k >> 1] as number,
          idleResetNs: () => [within.idle.minNs, within.idle.maxNs][k >> 1] as number,
        }
        const shape = shapeOf(profile.chart)
        const see = (reads: readonly PlayedRead[]) => reads.map(seenIn(short))
        const rounds = playRounds(new Player(scheduleOf(title), timing), shape, see)
        const player = new Player(scheduleOf(title), timing)
        const rows = (frame: Seen[][]) =>
          frame.map((read) => read.map(({ rises, ...seen }) => ({ ...seen, row: rowOf(profile, rises) })))
        for (let frame = 0; frame < rounds.lead + 3 * rounds.period; frame++)
          expect(rows(see(playFrame(player)))).toEqual(rows(frameOf(rounds, frame)))
      }),
      { numRuns: draws(200) },
    )
  })
})

describe('what is still to come when a frame ends', () => {
  const played = (of: Schedule, idleNs: number, frames: number) => {
    const timing = middleTiming({ reply: exactly(10), idleReset: exactly(idleNs) })
    const see = (reads: readonly PlayedRead[]) =>
      reads.flatMap(({ nodes }) => nodes.flatMap(({ met }) => met.map(({ level }) => level)))
    let before = 0
    const player = new Player(of, timing)
    const seeResets = (reads: readonly PlayedRead[]) => {
      const resets = player.resets - before
      before = player.resets
      return [...see(reads), resets]
    }
    const rounds = playRounds(player, { cycles: 1, after: 'start-again' }, seeResets)
    return Array.from({ length: frames }, (_, k) => frameOf(rounds, k))
  }

  test('an idle reset comes in the frame after its rise', () => {
    const late = oneRead(
      [
        [0, null],
        [400, 'high'],
        [600, 'low'],
      ],
      0,
      50,
    )
    expect(played(late, 800, 4)).toEqual([
      ['low', 0],
      ['low', 1],
      ['low', 1],
      ['low', 1],
    ])
  })

  test('a released line rises in the frame after it was let go', () => {
    const late = oneRead(
      [
        [0, null],
        [600, 'low'],
        [900, 'release'],
      ],
      300,
      250,
    )
    expect(played(late, 5_000, 4)).toEqual([
      ['low', 0],
      ['high', 0],
      ['high', 0],
      ['high', 0],
    ])
  })
})

test('a read that is tied to the one before it is its own place', () => {
  const { nodes, ...rest } = oneRead([[0, null]], 0, 50)
  const polling = { ...rest, nodes: nodes.map((node) => ({ ...node, next: [gapTo(0, 700)] })) }
  const player = new Player(polling, middleTiming({ reply: exactly(10), idleReset: exactly(5_000) }))
  const reads = Array.from({ length: 3 }, () => player.read())
  expect(reads.map(({ frame, placeNs, nodes: [first] }) => [frame, placeNs, first?.atNs])).toEqual([
    [0, 0, 0],
    [1, 700, 700],
    [2, 1_400, 1_400],
  ])
})

const rowOf = (
  { chart }: { chart: { cycles: readonly unknown[]; after: { kind: string } } },
  rises: number,
) => (chart.after.kind === 'stay' ? Math.min(rises, chart.cycles.length) : rises % chart.cycles.length)

describe('select at the pad, at a tie', () => {
  const told = (idleLevel: Level, riseNs: number, act: (pad: SelectAtPad) => void) => {
    const changes: Change[] = []
    const times = { riseNs: () => riseNs, idleResetNs: () => 1_000 }
    act(new SelectAtPad(idleLevel, times, (change) => changes.push(change)))
    return changes.map(({ what, atNs, writtenNs, rises }) => `${what} ${atNs} ${writtenNs} ${rises}`)
  }

  test('a reset comes before whatever falls on the same instant', () => {
    const falls = told('low', 0, (pad) => {
      pad.write('high', 0)
      pad.write('low', 1_000)
    })
    expect(falls).toEqual(['rise 0 0 1', 'reset 1000 null 0', 'fall 1000 1000 0'])
    const rises = told('low', 0, (pad) => {
      pad.write('high', 0)
      pad.write('low', 10)
      pad.write('high', 1_000)
    })
    expect(rises.slice(2)).toEqual(['reset 1000 null 0', 'rise 1000 1000 1'])
    const released = told('low', 300, (pad) => {
      pad.write('high', 0)
      pad.write('low', 10)
      pad.write('release', 700)
      pad.pass(1_000)
    })
    expect(released.slice(2)).toEqual(['reset 1000 null 0', 'rise 1000 700 1'])
  })

  test('a fall comes before the rise of a released line, which is lost', () => {
    const lost = told('low', 300, (pad) => {
      pad.write('release', 0)
      pad.write('low', 300)
      pad.pass(400)
    })
    expect(lost).toEqual([])
    const risen = told('low', 300, (pad) => {
      pad.write('release', 0)
      pad.write('low', 301)
    })
    expect(risen).toEqual(['rise 300 0 1', 'fall 301 301 1'])
  })

  test('a drive ends what was on its way, and a second release does not put off the first', () => {
    const driven = told('low', 300, (pad) => {
      pad.write('release', 0)
      pad.write('high', 200)
      pad.pass(400)
    })
    expect(driven).toEqual(['rise 200 200 1'])
    const twice = told('low', 300, (pad) => {
      pad.write('release', 0)
      pad.write('release', 200)
      pad.pass(600)
    })
    expect(twice).toEqual(['rise 300 0 1'])
  })
})
