import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Belief } from '../../src/bench/belief.ts'
import { Sight } from '../../src/bench/sight.ts'
import type { Phase } from '../../src/port/chart.ts'
import { INPUTS, PINS } from '../../src/port/pins.ts'
import type { Input, Level, Pin } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { OPPOSITE_POLICIES } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title, TitleSample } from '../../src/title/schema.ts'
import { arbChart } from '../arbitraries.ts'
import { arbTitle } from './arbitrary-title.ts'

/** Everything below is told in sets of names and tried one by one, without a bit of the bench. */
type Held = ReadonlySet<Input>

const ALL: readonly Held[] = Array.from(
  { length: 2 ** INPUTS.length },
  (_, number) => new Set(INPUTS.filter((_, k) => Math.floor(number / 2 ** k) % 2 === 1)),
)
const setOf = (mask: number): Held => ALL[mask] as Held

const possible = ({ opposite }: Profile): Held[] =>
  ALL.filter(
    (held) =>
      !(opposite.vertical !== 'as-held' && held.has('up') && held.has('down')) &&
      !(opposite.horizontal !== 'as-held' && held.has('left') && held.has('right')),
  )

function phaseOf({ chart }: Profile, rises: number, level: Level): Phase {
  const { cycles, after } = chart
  if (after.kind === 'stay' && rises >= cycles.length) return after.reply[level]
  return (cycles[rises % cycles.length] as (typeof cycles)[number])[level]
}

const isLow = (phase: Phase, pin: Pin, held: Held): boolean => {
  const cell = phase[pin]
  return cell === 'low' || (cell !== 'high' && held.has(cell))
}

/** Pins that a sample takes for something else than what is held. */
const wrongPins = ({ pins }: TitleSample, phase: Phase, held: Held): Pin[] =>
  PINS.filter((pin) => {
    const taken = pins[pin]
    return taken !== undefined && isLow(phase, pin, held) !== held.has(taken)
  })

const believes = ({ sixButtons }: Title, phase: Phase, held: Held): boolean => {
  if (sixButtons.kind !== 'identified') return sixButtons.kind === 'assumed'
  return sixButtons.lowPins.every((pin) => isLow(phase, pin, held))
}

const holds = (held: Held, belief: Belief): boolean =>
  belief !== 'never' && [...setOf(belief)].every((input) => held.has(input))

const sizeOfSmallest = (all: readonly Held[]): number => Math.min(...all.map((held) => held.size))

const arbProfile: fc.Arbitrary<Profile> = fc
  .record({
    base: fc.constantFrom(...Object.values(BUILT_IN_PROFILES)),
    chart: fc.option(arbChart),
    vertical: fc.constantFrom(...OPPOSITE_POLICIES),
    horizontal: fc.constantFrom(...OPPOSITE_POLICIES),
  })
  .map(({ base, chart, ...opposite }) => ({ ...base, chart: chart ?? base.chart, opposite }))

const arbPlace = fc.record({ rises: fc.nat(7), level: fc.constantFrom<Level>('low', 'high') })

describe('what a title sees, against all 4096 combinations tried one by one', () => {
  it('believes in six buttons with exactly the combinations that it says', () => {
    let never = 0
    let sometimes = 0
    fc.assert(
      fc.property(arbProfile, arbTitle, arbPlace, (profile, title, { rises, level }) => {
        const belief = new Sight(profile, title).belief(rises, level)
        if (belief === 'never') never++
        else if (belief !== 0) sometimes++
        const phase = phaseOf(profile, rises, level)
        for (const held of possible(profile)) {
          if (believes(title, phase, held) !== holds(held, belief)) expect.fail([...held].join(' '))
        }
      }),
      { numRuns: 400 },
    )
    expect(Math.min(never, sometimes)).toBeGreaterThan(20)
  })

  it('finds a smallest combination that a sample sees wrongly, or there is none', () => {
    let right = 0
    let wrongs = 0
    fc.assert(
      fc.property(
        arbProfile,
        arbTitle,
        fc.option(arbPlace, { freq: 1 }),
        arbPlace,
        fc.nat(),
        (profile, title, elsewhere, met, which) => {
          const sight = new Sight(profile, title)
          const k = which % title.samples.length
          const sample = title.samples[k] as TitleSample
          const at = elsewhere ?? { rises: sample.cycle - 1, level: sample.level }
          const phase = phaseOf(profile, at.rises, at.level)
          const belief = sight.belief(met.rises, met.level)
          for (const needed of new Set([0, belief === 'never' ? 0 : belief])) {
            const tried = possible(profile).filter(
              (held) => holds(held, needed) && wrongPins(sample, phase, held).length > 0,
            )
            const found = sight.wrong(k, at.rises, at.level, needed)
            if (tried.length === 0) {
              right++
              expect(found).toBeNull()
              continue
            }
            wrongs++
            const held = setOf((found as NonNullable<typeof found>).held)
            expect(tried).toContain(held)
            expect(held.size).toBe(sizeOfSmallest(tried))
            const pins = wrongPins(sample, phase, held)
            const taken = (low: boolean) =>
              pins.filter((pin) => isLow(phase, pin, held) === low).map((pin) => sample.pins[pin])
            expect(found).toEqual({ held: found?.held, pins, phantom: taken(true), missed: taken(false) })
          }
        },
      ),
      { numRuns: 800 },
    )
    expect(Math.min(right, wrongs)).toBeGreaterThan(50)
  })

  it('says what another belief loses, or that it loses nothing', () => {
    let losses = 0
    fc.assert(
      fc.property(arbProfile, arbTitle, arbPlace, arbPlace, (profile, title, one, other) => {
        fc.pre(title.sixButtons.kind === 'identified')
        const sight = new Sight(profile, title)
        const expected = sight.belief(one.rises, one.level)
        const belief = sight.belief(other.rises, other.level)
        const taken = (when: TitleSample['when']) =>
          title.samples.filter((sample) => sample.when === when).flatMap(({ pins }) => Object.values(pins))
        const extras = taken('six-buttons').filter((input) => !taken('always').includes(input))
        const lost = possible(profile).filter(
          (held) =>
            believes(title, phaseOf(profile, one.rises, one.level), held) !==
              believes(title, phaseOf(profile, other.rises, other.level), held) &&
            extras.some((extra) => held.has(extra)),
        )
        const found = sight.wrongBelief(expected, belief)
        if (lost.length === 0) {
          expect(found).toBeNull()
          return
        }
        losses++
        const held = setOf((found as NonNullable<typeof found>).held)
        expect(lost).toContain(held)
        expect(held.size).toBe(sizeOfSmallest(lost))
        expect(found?.phantom).toEqual([])
        expect(found?.missed.every((input) => held.has(input) && extras.includes(input))).toBe(true)
      }),
      { numRuns: 500 },
    )
    expect(losses).toBeGreaterThan(20)
  })
})
