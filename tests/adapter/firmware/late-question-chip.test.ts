import fc from 'fast-check'
import { expect, test } from 'vitest'
import { lateQuestionAt, nextLateQuestion, timedBy } from '../../../src/bench/probe/late-replies.ts'
import type { Counted, LateQuestion } from '../../../src/bench/probe/late-replies.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { controlMask } from '../../../src/pad/controls.ts'
import type { RangeNs } from '../../../src/port/range.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { readTitle } from '../../../src/title/file.ts'
import type { Title } from '../../../src/title/schema.ts'
import { playSeen } from '../../bench/play-steps.ts'
import { SIX, verdictOf } from '../../bench/probe-truth.ts'
import { chanceOf } from '../../title/infer/capture-of.ts'
import { draws, often } from '../../draws.ts'
import { ChipInFront } from './chip-in-front.ts'
import { Rig } from './rig.ts'

/**
 * A sample of which nobody knows when it comes, in front of late replies of the real firmware on the emulated chip. The title is played by
 * tests/bench/play-steps.ts, which is written from READ.md alone; what acts in it is counted, and what is found has to hold what is true.
 */

const MS = 1_000_000
/** What comes at another time in each read is looked at for longer: on a screen a step shows some thirty frames. */
const READS = { steady: 3, moving: 24 }
const FRAME_MS = 17
const OFF_MS = 30

/** Samples after each edge of a read; the last of them when nobody knows. @param places of the samples, from their edges */
function titleOf(
  places: readonly { readonly minNs: number; readonly maxNs: number; readonly guessed: boolean }[],
  edgesNs: number,
): Title {
  const takes = [
    { 1: 'up', 2: 'down', 6: 'a', 9: 'start' },
    { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' },
  ]
  const steps = places.flatMap(({ minNs, maxNs, guessed }, k) => [
    {
      select: k % 2 === 0 ? 'low' : 'high',
      after: { minNs: k === 0 ? 0 : edgesNs, maxNs: k === 0 ? 0 : edgesNs },
      ...(k > 0 && { since: 'edge' }),
    },
    { sample: takes[k % 2], after: { minNs, maxNs, ...(guessed && { source: { kind: 'guessed' } }) } },
  ])
  return read(
    places.length % 2 === 0
      ? steps
      : [...steps, { select: 'high', since: 'edge', after: { minNs: edgesNs, maxNs: edgesNs } }],
    null,
  )
}

/** A title that reads once a frame. @param rise from a release of select to its edge */
function read(steps: readonly unknown[], rise: RangeNs | null): Title {
  const file = {
    format: 'ninepin-title',
    version: 3,
    name: 'Foghorn',
    notes: '',
    fragile: false,
    port: 'select-line',
    standard: '525-line',
    clockPpm: 0,
    idle: 'high',
    rise,
    takesOpposite: true,
    sixButtons: { kind: 'never' },
    modes: [
      {
        reads: [
          {
            starts: { kind: 'frame', offsetsNs: [31_000], late: { minNs: 0, maxNs: 0 } },
            steps,
          },
        ],
      },
    ],
  }
  const title = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  if (!title.ok) throw new Error(`${title.error.place}: ${title.error.message}`)
  return title.value
}

/** In how many steps the input acts in every read, and in how many in any. */
function countOnChip(
  truth: Title,
  { profile, sweep, input }: LateQuestion,
  seed: number,
  readsInStep: number,
): Counted {
  // A step as short as its reads: nobody has to count it here.
  const onMs = 10 * Math.ceil((readsInStep * FRAME_MS + 70) / 10)
  const rig = Rig.with([encodeImage(profile, [], { ...sweep, onMs, offMs: OFF_MS })])
  rig.connect()
  rig.becomePad()
  rig.hold(controlMask(profile.mapping[input].slice(0, 1)))
  const { nowNs } = rig.chip
  let [steady, any] = [0, 0]
  for (let step = 0; step < sweep.steps; step++) {
    rig.chip.runTo(nowNs + (step * (onMs + OFF_MS) + 5) * MS)
    const reads = playSeen(
      truth,
      new ChipInFront(rig.chip, truth, profile.idleResetNs),
      chanceOf(seed + step),
      readsInStep,
    )
    const acting = reads.filter(({ pressed }) => pressed.includes(input)).length
    if (acting === reads.length) steady++
    if (acting > 0) any++
  }
  return { steady, any }
}

/** From 40 ns after its edge, sooner than any reply, to some time before the next one. */
const arbSample = fc
  .record({
    edgesNs: fc.integer({ min: 2_000, max: 12_000 }),
    cycle: fc.nat(3),
    low: fc.boolean(),
    at: fc.double({ min: 0.02, max: 0.6, noNaN: true }),
    jitterNs: fc.constantFrom(0, 0, 40, 300),
  })
  .map(({ edgesNs, cycle, low, at, jitterNs }) => {
    const which = Math.max(0, 2 * cycle - (low ? 0 : 1))
    const trueNs = Math.round(40 + at * edgesNs)
    const lie = { minNs: trueNs, maxNs: trueNs + jitterNs, guessed: false }
    const guess = { minNs: 40, maxNs: Math.floor(edgesNs * 0.9), guessed: true }
    const others = { minNs: 700, maxNs: 750, guessed: false }
    const places = (own: typeof lie) =>
      Array.from({ length: which + 1 }, (_, k) => (k === which ? own : others))
    return { guessed: titleOf(places(guess), edgesNs), truth: titleOf(places(lie), edgesNs), lie, which }
  })

test('the time of a sample is found by what acts: what is true lies in what is found, and the range is narrow', () => {
  let [asked, decided, told] = [0, 0, 0]
  const widths: number[] = []
  fc.assert(
    fc.property(arbSample, fc.nat(1e6), ({ guessed, truth, lie, which }, seed) => {
      let title = guessed
      const reads = lie.minNs === lie.maxNs ? READS.steady : READS.moving
      let flashes = 0
      for (;;) {
        const question = nextLateQuestion(title, SIX, REFERENCE_ADAPTER, DEFAULT_MARGIN_NS)
        if (question === null || flashes === 3) break
        flashes++
        // The same line of play counted twice; on a real screen somebody counts again.
        const counted = countOnChip(truth, question, seed, reads)
        const next = timedBy(title, question, [counted, counted])
        if (!next.ok) {
          expect(next.error).toBe('never')
          break
        }
        if (JSON.stringify(next.value) === JSON.stringify(title)) break
        title = next.value
      }
      if (flashes === 0) return
      asked++
      const step = title.modes[0]?.reads[0]?.steps[2 * which + 1]
      if (step === undefined || !('sample' in step)) throw new Error('the sample is where it was')
      expect(step.after.minNs).toBeLessThanOrEqual(lie.minNs)
      expect(step.after.maxNs).toBeGreaterThanOrEqual(lie.maxNs)
      if (step.after.source?.kind !== 'found') return
      told++
      widths.push(step.after.maxNs - step.after.minNs - (lie.maxNs - lie.minNs))
      const { verdict } = verdictOf(title)
      if (verdict !== 'undecided') {
        decided++
        expect(verdict === 'misread').toBe(verdictOf(truth).verdict === 'misread')
      }
    }),
    { numRuns: draws(60) },
  )
  widths.sort((p, q) => p - q)
  console.log(
    `late replies on the chip: ${asked} asked, ${told} told, ${decided} decided; wider than true by ${widths[widths.length >> 1]} ns (median), ${widths.at(-1)} ns at most`,
  )
  expect(told).toBeGreaterThan(often(20))
})

test('counts that do not go together tell nothing, nor does an input that never acts, nor a single count', () => {
  const places = [{ minNs: 40, maxNs: 3_000, guessed: true }]
  const title = titleOf(places, 5_000)
  const question = nextLateQuestion(title, SIX, REFERENCE_ADAPTER, DEFAULT_MARGIN_NS)
  if (question === null) throw new Error('the verdict turns on when it samples')
  expect(lateQuestionAt(title, question.at, question.pin, SIX, REFERENCE_ADAPTER)).toEqual(question)
  const count = (steady: number, any = steady): Counted => ({ steady, any })
  expect(timedBy(title, question, [count(3), count(7)])).toEqual({ ok: false, error: 'contradicting' })
  expect(timedBy(title, question, [count(5, 4), count(5, 4)])).toEqual({ ok: false, error: 'contradicting' })
  expect(timedBy(title, question, [count(0), count(0)])).toEqual({ ok: false, error: 'never' })
  expect(timedBy(title, question, [count(4)])).toEqual({ ok: true, value: title })
  // Acting now and then, and never throughout, says how late it comes at most and not how soon.
  const flickers = timedBy(title, question, [count(0, 2), count(0, 2)])
  const step = flickers.ok ? flickers.value.modes[0]?.reads[0]?.steps[1] : undefined
  expect(step).toMatchObject({ after: { minNs: 40, source: { kind: 'found', trials: 2 } } })
  expect(step && 'after' in step ? step.after.maxNs : 0).toBeLessThan(3_000)
})

const exactly = (ns: number): RangeNs => ({ minNs: ns, maxNs: ns })
const between = (minNs: number, maxNs: number) => ({ minNs, maxNs, source: { kind: 'guessed' } })
const ACTS_LOW = { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
const ACTS_HIGH = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }

/** What is found of a sample by counts that are right. */
function foundOf(guessed: Title, truth: Title): ReturnType<typeof timedBy> | null {
  const question = nextLateQuestion(guessed, SIX, REFERENCE_ADAPTER, DEFAULT_MARGIN_NS)
  if (question === null) return null
  const counted = countOnChip(truth, question, 7, READS.steady)
  return timedBy(guessed, question, [counted, counted])
}

test.each([
  [2_500, 300, false],
  [2_500, 1_150, false],
  [6_000, 1_150, false],
  [2_500, 1_150, true],
])(
  'a sample %i ns after a release that rises %i ns later lies in what is found (waits for the rise: %s)',
  (ns, riseNs, waits) => {
    const reading = (after: object, rise: RangeNs) =>
      read(
        [
          { select: 'low', after: exactly(0) },
          { sample: ACTS_LOW, after: exactly(1_500) },
          { select: 'release', since: 'edge', after: exactly(3_000), ...(waits && { waits }) },
          { sample: ACTS_HIGH, after },
          { select: 'low', since: 'edge', after: exactly(9_000) },
          { select: 'high', since: 'edge', after: exactly(3_000) },
        ],
        rise,
      )
    const guessed = reading(between(waits ? 40 : 1_300, 8_000), { minNs: 300, maxNs: 1_200 })
    const found = foundOf(guessed, reading(exactly(ns), { minNs: riseNs, maxNs: riseNs + 50 }))
    if (found?.ok !== true) throw new Error('its time is found')
    const step = found.value.modes[0]?.reads[0]?.steps[3]
    if (step === undefined || !('sample' in step)) throw new Error('the sample is where it was')
    expect(step.after.source?.kind).toBe('found')
    expect(step.after.minNs).toBeLessThanOrEqual(ns)
    expect(step.after.maxNs).toBeGreaterThanOrEqual(ns)
  },
)

test('a write that moves select nowhere is not what a reply is late from', () => {
  const reading = (twice: readonly object[]) =>
    read(
      [
        { select: 'low', after: exactly(0) },
        { sample: ACTS_LOW, after: exactly(1_500) },
        { select: 'high', since: 'edge', after: exactly(3_000) },
        ...twice,
        { sample: ACTS_HIGH, after: between(16, 900) },
        { select: 'low', since: 'edge', after: exactly(3_000) },
        { select: 'high', since: 'edge', after: exactly(3_000) },
      ],
      null,
    )
  const ask = (title: Title) => nextLateQuestion(title, SIX, REFERENCE_ADAPTER, DEFAULT_MARGIN_NS)
  expect(ask(reading([]))?.at.step).toBe(3)
  expect(ask(reading([{ select: 'high', since: 'edge', after: exactly(110) }]))).toBeNull()
})

test('an input that acts in steps that come after all of the range shows that the range is not so', () => {
  const reading = (after: object) =>
    read(
      [
        { select: 'low', after: exactly(0) },
        { sample: ACTS_LOW, after },
        { select: 'high', since: 'edge', after: exactly(9_000) },
      ],
      null,
    )
  const guessed = reading(between(40, 2_400))
  expect(foundOf(guessed, reading(exactly(2_399)))?.ok).toBe(true)
  expect(foundOf(guessed, reading(exactly(2_600)))).toEqual({ ok: false, error: 'contradicting' })
})
