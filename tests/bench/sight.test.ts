import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Told, bothBeliefs } from '../../src/bench/belief.ts'
import type { Belief } from '../../src/bench/belief.ts'
import { Sight } from '../../src/bench/sight.ts'
import type { Phase } from '../../src/port/chart.ts'
import { INPUTS, PINS } from '../../src/port/pins.ts'
import type { Input, Level, Pin } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { OPPOSITE_POLICIES } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Condition } from '../../src/title/schedule.ts'
import type { ShortSample, ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbChart } from '../arbitraries.ts'
import { arbShort } from './arbitrary-title.ts'
import { shortSamples } from './short-titles.ts'
import { draws, often } from '../draws.ts'

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
const wrongPins = ({ pins }: Pick<ShortSample, 'pins'>, phase: Phase, held: Held): Pin[] =>
  PINS.filter((pin) => {
    const taken = pins[pin]
    return taken !== undefined && isLow(phase, pin, held) !== held.has(taken)
  })

const believes = ({ sixButtons }: ShortTitle, phase: Phase, held: Held): boolean => {
  if (sixButtons.kind !== 'identified') return sixButtons.kind === 'assumed'
  return sixButtons.lowPins.every((pin) => isLow(phase, pin, held))
}

const isSo = ({ low, high }: Asked, phase: Phase, held: Held): boolean =>
  low.every((pin) => isLow(phase, pin, held)) && high.every((pin) => !isLow(phase, pin, held))

const COMBINATIONS = ALL.length

/** The first twelve inputs must be held, the next twelve must not. */
const holds = (held: Held, belief: Belief): boolean =>
  belief !== 'never' &&
  [...setOf(belief % COMBINATIONS)].every((input) => held.has(input)) &&
  ![...setOf(Math.floor(belief / COMBINATIONS))].some((input) => held.has(input))

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

type Asked = Pick<Condition, 'low' | 'high'>
/** Pins that have to be low, and others that have to be high; one at the least. */
const arbAsked: fc.Arbitrary<Asked> = fc
  .tuple(fc.shuffledSubarray([...PINS], { minLength: 1, maxLength: 4 }), fc.nat(4))
  .map(([pins, n]) => ({ low: pins.slice(0, n), high: pins.slice(n) }))

interface Place {
  readonly rises: number
  readonly level: Level
}
/** What the bench says that must be held, and must not be, for these pins to be so in this phase. */
const askedAt = (sight: Sight, asked: Asked, { rises, level }: Place): Belief =>
  sight.belief({ ...asked, samples: [] }, rises, level)

/** The same for a title to believe in six buttons, if it tells them in this phase. */
function beliefAt(sight: Sight, place: Place): Belief {
  const { sixButtons } = sight.schedule
  if (sixButtons.kind !== 'told') return new Told(sixButtons).belief
  expect(sixButtons.by).toHaveLength(1)
  return askedAt(sight, sixButtons.by[0] as Condition, place)
}

describe('what a title sees, against all 4096 combinations tried one by one', () => {
  it('believes in six buttons with exactly the combinations that it says', () => {
    let never = 0
    let sometimes = 0
    fc.assert(
      fc.property(arbProfile, arbShort, arbPlace, (profile, short, { rises, level }) => {
        const belief = beliefAt(new Sight(profile, titleOfShort(short)), { rises, level })
        if (belief === 'never') never++
        else if (belief !== 0) sometimes++
        const phase = phaseOf(profile, rises, level)
        for (const held of possible(profile)) {
          if (believes(short, phase, held) !== holds(held, belief)) expect.fail([...held].join(' '))
        }
      }),
      { numRuns: draws(400) },
    )
    expect(Math.min(never, sometimes)).toBeGreaterThan(often(20))
  })

  it('believes in several conditions with exactly the combinations with which all are so', () => {
    let never = 0
    let forbids = 0
    fc.assert(
      fc.property(
        arbProfile,
        arbShort,
        fc.array(fc.tuple(arbAsked, arbPlace), { minLength: 1, maxLength: 3 }),
        (profile, short, conditions) => {
          const sight = new Sight(profile, titleOfShort(short))
          const each = conditions.map(([asked, place]) => askedAt(sight, asked, place))
          const belief = sight.within(each.reduce(bothBeliefs))
          if (belief === 'never') never++
          else if (belief >= COMBINATIONS) forbids++
          for (const held of possible(profile)) {
            const areSo = conditions.every(([asked, { rises, level }]) =>
              isSo(asked, phaseOf(profile, rises, level), held),
            )
            if (areSo !== holds(held, belief)) expect.fail([...held].join(' '))
          }
        },
      ),
      { numRuns: draws(300) },
    )
    expect(Math.min(never, forbids)).toBeGreaterThan(often(20))
  })

  it('finds a smallest combination that a sample sees wrongly, or there is none', () => {
    let right = 0
    let wrongs = 0
    fc.assert(
      fc.property(
        arbProfile,
        arbShort,
        fc.option(arbPlace, { freq: 2 }),
        arbPlace,
        fc.nat(),
        arbAsked,
        (profile, short, elsewhere, met, which, asked) => {
          const title = titleOfShort(short)
          const sight = new Sight(profile, title)
          const own = which % short.samples.length
          const k = shortSamples(title, short).indexOf(own)
          const sample = short.samples[own] as ShortSample
          const here = elsewhere ?? { rises: sample.cycle - 1, level: sample.level }
          const phase = phaseOf(profile, here.rises, here.level)
          const beliefs = [0, beliefAt(sight, met), askedAt(sight, asked, met)]
          for (const needed of new Set(beliefs.filter((belief) => belief !== 'never'))) {
            const tried = possible(profile).filter(
              (held) => holds(held, needed) && wrongPins(sample, phase, held).length > 0,
            )
            const found = sight.wrong(k, here.rises, here.level, needed)
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
      { numRuns: draws(800) },
    )
    expect(Math.min(right, wrongs)).toBeGreaterThan(often(50))
  })

  it('says what another belief loses, or that it loses nothing', () => {
    let losses = 0
    let othersLosses = 0
    // The title's own condition, or any others.
    const arbBoth = fc.option(fc.tuple(arbAsked, arbAsked), { freq: 2 })
    fc.assert(
      fc.property(arbProfile, arbShort, arbPlace, arbPlace, arbBoth, (profile, short, one, other, asked) => {
        fc.pre(short.sixButtons.kind === 'identified')
        const sight = new Sight(profile, titleOfShort(short))
        const beliefIn = (k: 0 | 1, place: Place): Belief =>
          asked ? askedAt(sight, asked[k], place) : beliefAt(sight, place)
        const [expected, belief] = [beliefIn(0, one), beliefIn(1, other)]
        const isBelieved = (k: 0 | 1, { rises, level }: Place, held: Held): boolean => {
          const phase = phaseOf(profile, rises, level)
          return asked ? isSo(asked[k], phase, held) : believes(short, phase, held)
        }
        const taken = (when: ShortSample['when']) =>
          short.samples.filter((sample) => sample.when === when).flatMap(({ pins }) => Object.values(pins))
        const extras = taken('six-buttons').filter((input) => !taken('always').includes(input))
        const lost = possible(profile).filter(
          (held) =>
            isBelieved(0, one, held) !== isBelieved(1, other, held) &&
            extras.some((extra) => held.has(extra)),
        )
        const found = sight.wrongBelief(expected, belief)
        if (lost.length === 0) {
          expect(found).toBeNull()
          return
        }
        if (asked) othersLosses++
        else losses++
        const held = setOf((found as NonNullable<typeof found>).held)
        expect(lost).toContain(held)
        expect(held.size).toBe(sizeOfSmallest(lost))
        expect(found?.phantom).toEqual([])
        expect(found?.missed.every((input) => held.has(input) && extras.includes(input))).toBe(true)
      }),
      { numRuns: draws(1_000) },
    )
    expect(Math.min(losses, othersLosses)).toBeGreaterThan(often(20))
  })
})
