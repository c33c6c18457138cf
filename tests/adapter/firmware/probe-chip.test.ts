import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Question } from '../../../src/bench/probe/suspects.ts'
import { isRight } from '../../../src/bench/judgement.ts'
import { INPUTS, inputBit, maskOf } from '../../../src/port/pins.ts'
import type { InputMask } from '../../../src/port/pins.ts'
import { possibilitiesOf } from '../../../src/title/possible.ts'
import type { Title } from '../../../src/title/schema.ts'
import { arbOpen } from '../../bench/arbitrary-open.ts'
import { playSeen } from '../../bench/play-steps.ts'
import { probed } from '../../bench/probe-player.ts'
import { OPEN_PATTERNS, SIX, expectNoContradiction, truthOf, verdictOf } from '../../bench/probe-truth.ts'
import { chanceOf } from '../../title/infer/capture-of.ts'
import { draws, often } from '../../draws.ts'
import { ChipInFront, holdInputs, rigWith } from './chip-in-front.ts'

/**
 * Titles that nobody has described, played by tests/bench/play-steps.ts (written from READ.md alone) in front of the real firmware on the emulated chip, which
 * runs the probe profiles: what acts then is what answers.
 */

/** Enough for every mode, and for every read of a frame. */
const READS = 24

function actsOnChip(truth: Title, { probe, mode, held }: Question, seed: number): InputMask {
  const { id, profile } = probe
  const rig = rigWith(id, profile)
  holdInputs(rig, profile, held)
  const inFront = new ChipInFront(rig.chip, truth, profile.idleResetNs)
  const reads = playSeen(truth, inFront, chanceOf(seed), READS).filter((read) => read.mode === mode)
  return maskOf(reads.flatMap(({ pressed }) => pressed))
}

const arbTitle = fc.oneof(
  { weight: 3, arbitrary: arbOpen },
  { weight: 1, arbitrary: fc.constantFrom(...OPEN_PATTERNS.map(({ title }) => title)) },
)

test('titles in front of the chip answer, from undecided to what is true, and none is wrong', () => {
  const flashed = new Map<number, number>()
  let [undecided, settled] = [0, 0]
  fc.assert(
    fc.property(arbTitle, fc.nat(1e6), (title, seed) => {
      if (possibilitiesOf(title) === null || verdictOf(title).verdict !== 'undecided') return
      undecided++
      const truth = truthOf(title, seed)
      const { found, flashes } = probed(SIX, title, (question) => actsOnChip(truth, question, seed))
      flashed.set(flashes, (flashed.get(flashes) ?? 0) + 1)
      if (verdictOf(found).verdict !== 'undecided') settled++
      expectNoContradiction(found, truth)
    }),
    { numRuns: draws(600) },
  )
  console.log(
    'probes on the chip: flashes',
    Object.fromEntries(flashed),
    `${settled} of ${undecided} settled`,
  )
  expect(Math.max(...flashed.keys())).toBeLessThanOrEqual(4)
  expect(settled).toBeGreaterThan(undecided / 2)
})

test('with one wrong answer in ten, none that misreads is ever taken for clean', () => {
  let [undecided, wrong] = [0, 0]
  fc.assert(
    fc.property(
      arbTitle,
      fc.nat(1e6),
      fc.array(fc.nat(119), { minLength: 13, maxLength: 13 }),
      (title, seed, mistakes) => {
        if (possibilitiesOf(title) === null || verdictOf(title).verdict !== 'undecided') return
        undecided++
        const truth = truthOf(title, seed)
        const { found } = probed(SIX, title, (question, k) => {
          const acts = actsOnChip(truth, question, seed)
          const mistake = mistakes[Math.floor(k / 10)] ?? 0
          if (k % 10 !== mistake % 10) return acts
          wrong++
          return acts !== 0 && mistake < 60 ? 0 : acts ^ inputBit(INPUTS[Math.floor(mistake / 10)] ?? 'a')
        })
        if (isRight(verdictOf(found))) expect(isRight(verdictOf(truth))).toBe(true)
      },
    ),
    { numRuns: draws(250) },
  )
  console.log(`probes on the chip: ${wrong} wrong answers to ${undecided} titles`)
  expect(wrong).toBeGreaterThan(often(20))
})
