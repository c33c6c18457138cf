import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { VIDEO_STANDARDS, frameNs } from '../../src/port/clocks.ts'
import { PortEngine } from '../../src/port/engine.ts'
import { SIX_BUTTON_CHART } from '../../src/port/family.ts'
import { ALL_INPUTS, INPUTS, maskOf, pinLevel } from '../../src/port/pins.ts'
import type { Input, Level, Pin } from '../../src/port/pins.ts'
import { CABLE_NS } from '../../src/port/cable.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { setAfter } from '../../src/profile/chart-commands.ts'
import { controlMask } from '../../src/pad/controls.ts'
import { powerOnOutcome } from '../../src/profile/held-controls.ts'
import { ProfileRunner } from '../../src/profile/run-profile.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'

/** Facts of the trade: common practice, no source, unless a line says otherwise. */

const SIX = BUILT_IN_PROFILES['six-button']
const DIRECTION_PINS = [1, 2, 3, 4] as const

const flip = (level: Level): Level => (level === 'low' ? 'high' : 'low')

/** Moves select `edges` times at `spacingNs`, and tells after each what it finds at the end of the phase. */
function burst<T>(engine: PortEngine, fromNs: number, edges: number, spacingNs: number, look: () => T): T[] {
  return Array.from({ length: edges }, (_, k) => {
    engine.select(fromNs + k * spacingNs, engine.level === 'unknown' ? 'high' : flip(engine.level))
    engine.advance(fromNs + (k + 1) * spacingNs - 1)
    return look()
  })
}

const levelOf = (engine: PortEngine, pin: Pin): Level => {
  if (engine.pins === null) throw new Error('select was known throughout')
  return pinLevel(engine.pins, pin)
}
const allLow = (engine: PortEngine) => DIRECTION_PINS.every((pin) => levelOf(engine, pin) === 'low')
const allHigh = (engine: PortEngine) => DIRECTION_PINS.every((pin) => levelOf(engine, pin) === 'high')

describe('identification: with nothing held, pins 1 2 3 4 all low (common practice, no source)', () => {
  it.each<[Level, number]>([
    ['high', 3],
    ['low', 2],
  ])('from rest %s it comes with low number %d, counted from the first fall', (rest, number) => {
    const engine = new PortEngine(new ProfileRunner(SIX), rest)
    const found = burst(engine, 1_000, 7, 5_000, () => engine.level === 'low' && allLow(engine))
    const lows = found.filter((_, k) => (rest === 'high') === (k % 2 === 0))
    expect(lows.indexOf(true) + 1).toBe(number)
    expect(found.filter(Boolean).length).toBe(1)
  })

  it('a three-button pad never answers so', () => {
    for (const name of ['three-button', 'six-button-one-cycle'] as const) {
      const engine = new PortEngine(new ProfileRunner(BUILT_IN_PROFILES[name]), 'high')
      expect(burst(engine, 1_000, 20, 5_000, () => allLow(engine))).not.toContain(true)
    }
  })
})

describe('four cycles (common practice, no source)', () => {
  it('the end mark follows the extra buttons: with nothing held, pins 1 2 3 4 all high in the fourth low', () => {
    const engine = new PortEngine(new ProfileRunner(SIX), 'high')
    const marks = burst(engine, 1_000, 8, 5_000, () => engine.level === 'low' && allHigh(engine))
    expect(marks).toEqual([false, false, false, false, false, false, true, false])
  })

  it('then the counter starts again, where the profile says so', () => {
    const again: Profile = { ...SIX, chart: setAfter(SIX_BUTTON_CHART, 'start-again') }
    const engine = new PortEngine(new ProfileRunner(again), 'high')
    const found = burst(engine, 1_000, 24, 5_000, () => engine.level === 'low' && allLow(engine))
    // The third, seventh and eleventh fall.
    expect(found.flatMap((is, k) => (is ? [k / 2 + 1] : []))).toEqual([3, 7, 11])
  })

  it('else it stays with three-button replies until the idle reset (from memory)', () => {
    const engine = new PortEngine(new ProfileRunner(SIX), 'high')
    const identified = () => engine.level === 'low' && allLow(engine)
    const first = burst(engine, 1_000, 24, 5_000, identified)
    expect(first.flatMap((is, k) => (is ? [k / 2 + 1] : []))).toEqual([3])
    expect(burst(engine, 20_000_000, 24, 5_000, identified).filter(Boolean).length).toBe(1)
  })
})

/** Reads all twelve inputs in four cycles, as a six-button title does: high first, then low, and so on. */
function readTwelve(engine: PortEngine, fromNs: number, spacingNs: number): Input[] {
  const seen: Input[] = []
  const take = (pins: Partial<Record<Pin, Input>>) => {
    for (const [pin, input] of Object.entries(pins))
      if (levelOf(engine, Number(pin) as Pin) === 'low') seen.push(input)
  }
  engine.advance(fromNs - 1)
  take({ 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' })
  let edge = 0
  burst(engine, fromNs, 7, spacingNs, () => {
    edge += 1
    if (edge === 1) take({ 6: 'a', 9: 'start' })
    else if (edge === 6) take({ 1: 'z', 2: 'y', 3: 'x', 4: 'mode' })
  })
  return INPUTS.filter((input) => seen.includes(input))
}

describe('a read of four cycles in 20 µs, 2.5 µs a phase (common practice, no source)', () => {
  it.each([0, 8, 56])('is answered in full with a delay of %d ns', (delayNs) => {
    for (let held = 0; held < 4096; held += 7) {
      const runner = new ProfileRunner({ ...SIX, delayNs })
      const engine = new PortEngine(runner, 'high')
      engine.press(0, () => runner.ask(held))
      expect(maskOf(readTwelve(engine, 10_000, 2_500))).toBe(held)
    }
  })

  it('ends long before the idle reset', () => {
    expect(20_000).toBeLessThan(SIX.idleResetNs / 50)
  })
})

describe('idle reset (about 1.5 ms, models differ between 1.1 and 1.8 ms: from memory)', () => {
  it('the built-in profiles stand in the middle, and a frame is long enough for it', () => {
    for (const profile of Object.values(BUILT_IN_PROFILES)) {
      expect(profile.idleResetNs).toBeGreaterThanOrEqual(1_100_000)
      expect(profile.idleResetNs).toBeLessThanOrEqual(1_800_000)
      for (const standard of VIDEO_STANDARDS)
        expect(profile.idleResetNs).toBeLessThan(frameNs(standard) - 20_000)
    }
  })

  it('reads of one frame after the other all begin at the first cycle', () => {
    const runner = new ProfileRunner(SIX)
    const engine = new PortEngine(runner, 'high')
    engine.press(0, () => runner.ask(maskOf(['z', 'left', 'start'])))
    for (let frame = 1; frame <= 5; frame++) {
      expect(readTwelve(engine, frame * frameNs('525-line'), 2_500)).toEqual(['left', 'start', 'z'])
      engine.select(frame * frameNs('525-line') + 20_000, 'high')
    }
  })
})

describe('Mode held while power comes on (common practice, no source)', () => {
  it('keeps the pad on its first cycle for good: a plain three-button pad', () => {
    const runner = new ProfileRunner(SIX)
    const outcome = powerOnOutcome(SIX.powerOn, controlMask(SIX.mapping.mode))
    expect(outcome).toEqual({ kind: 'first-cycle-only' })
    const plain = new PortEngine(new ProfileRunner(BUILT_IN_PROFILES['three-button']), 'high')
    const engine = new PortEngine(runner, 'high')
    // The outcome takes effect at an idle reset, so a read has to come first.
    for (const port of [plain, engine]) burst(port, 1_000, 8, 2_500, () => null)
    runner.limitToFirstCycle()
    for (let frame = 1; frame <= 4; frame++) {
      const [one, other] = [plain, engine].map((port) =>
        burst(port, frame * frameNs('525-line'), 10, 2_500, () => port.pins),
      )
      expect(other).toEqual(one)
    }
  })

  it('shows what the one-cycle profile shows, whatever is held', () => {
    const runners = [
      new ProfileRunner(SIX),
      new ProfileRunner(BUILT_IN_PROFILES['six-button-one-cycle']),
    ] as const
    const engines = runners.map((runner) => new PortEngine(runner, 'high'))
    for (const port of engines) burst(port, 1_000, 8, 2_500, () => null)
    runners[0].limitToFirstCycle()
    for (let held = 0, frame = 1; held <= ALL_INPUTS; held += 13, frame++) {
      const atNs = frame * frameNs('525-line')
      const [one, other] = engines.map((port, k) => {
        port.press(atNs, () => runners[k]?.ask(held))
        return burst(port, atNs + 1_000, 10, 2_500, () => port.pins)
      })
      expect(one).toEqual(other)
    }
  })

  it('does nothing to a pad that came on without Mode', () => {
    const others = ['start', 'a', 'b', 'c', 'x', 'y', 'z'] as const
    const held = others.reduce((mask, input) => mask | controlMask(SIX.mapping[input]), 0)
    expect(powerOnOutcome(SIX.powerOn, held)).toBeNull()
    expect(powerOnOutcome(SIX.powerOn, 0)).toBeNull()
  })
})

interface SixButtonRead {
  readonly rest: Level
  /** Cycle of the read in whose low the title looks for the identification. */
  readonly identifiedIn: number
  /** Cycle of the read in whose high it takes Z, Y, X and Mode. */
  readonly extrasIn: number
  readonly phaseNs: number
  /** One read a frame unless told. */
  readonly readOffsetsNs?: readonly number[]
}

/** A title of the Saltmarsh Lamp Museum that reads four cycles at a time and samples just before each phase ends. */
function titleReading({
  rest,
  identifiedIn,
  extrasIn,
  phaseNs,
  readOffsetsNs = [100_000],
}: SixButtonRead): Title {
  const sampleNs = phaseNs - DEFAULT_MARGIN_NS
  const bytes = new TextEncoder().encode(
    JSON.stringify({
      format: 'ninepin-title',
      version: 2,
      name: 'Lamp Room Inventory',
      notes: '',
      fragile: false,
      standard: '525-line',
      readOffsetsNs,
      readJitterNs: 0,
      clockPpm: 100,
      cyclesPerRead: 4,
      edgeSpacingNs: { minNs: phaseNs, maxNs: phaseNs },
      sampleAfterEdgeNs: { minNs: sampleNs, maxNs: sampleNs },
      rest,
      drive: { kind: 'driven' },
      samples: [
        { cycle: 1, level: 'high', pins: { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' } },
        { cycle: 1, level: 'low', pins: { 6: 'a', 9: 'start' } },
        { cycle: extrasIn, level: 'high', pins: { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }, when: 'six-buttons' },
      ],
      sixButtons: { kind: 'identified', cycle: identifiedIn, level: 'low', lowPins: [1, 2, 3, 4] },
      takesOpposite: true,
    }),
  )
  const title = readTitle(bytes)
  if (!title.ok) throw new Error(`${title.error.place} ${title.error.message}`)
  return title.value
}

/** A pad rocks: it cannot be pressed up and down at once, which in any low would look like the identification. */
const ROCKER = { vertical: 'neutral', horizontal: 'neutral' } as const

const judged = (profile: Profile, read: SixButtonRead) =>
  judge({ ...profile, opposite: ROCKER }, titleReading(read), {
    adapter: REFERENCE_ADAPTER,
    marginNs: DEFAULT_MARGIN_NS,
  })

/** Where the trade finds things in a read, from either rest. */
const FROM_HIGH = { rest: 'high', identifiedIn: 3, extrasIn: 4 } as const
const FROM_LOW = { rest: 'low', identifiedIn: 2, extrasIn: 3 } as const

describe('what the bench makes of the facts of the trade (common practice, no source)', () => {
  // 20 µs may be meant for a whole read of four cycles or for one phase: either is sound.
  const PHASES_NS = [2_500, 20_000]

  describe.each(PHASES_NS)('with %d ns a phase, in front of the reference adapter', (phaseNs) => {
    it.each([FROM_HIGH, FROM_LOW])(
      'the identification is the third low, the resting one counted: $rest, cycle $identifiedIn',
      (read) => {
        const judgement = judged(SIX, { ...read, phaseNs })
        expect(judgement).toMatchObject({ verdict: 'clean', sixButtons: true, unseen: [] })
      },
    )

    it('nothing comes of looking in any other low', () => {
      for (const { rest, identifiedIn: third } of [FROM_HIGH, FROM_LOW])
        for (const identifiedIn of [1, 2, 3, 4].filter((cycle) => cycle !== third)) {
          const read = { rest, identifiedIn, extrasIn: Math.max(identifiedIn, 2), phaseNs }
          expect(judged(SIX, read).sixButtons).toBe(false)
        }
    })

    it('the extra buttons are in the high after it and nowhere else', () => {
      for (const read of [FROM_HIGH, FROM_LOW])
        for (const extrasIn of [2, 3, 4]) {
          const { verdict } = judged(SIX, { ...read, extrasIn, phaseNs })
          expect(verdict).toBe(extrasIn === read.extrasIn ? 'clean' : 'misread')
        }
    })

    it('after four cycles a pad that starts again is read anew without an idle reset, one that stays is not', () => {
      const twice = { ...FROM_HIGH, phaseNs, readOffsetsNs: [100_000, 400_000] }
      const again = { ...SIX, chart: setAfter(SIX_BUTTON_CHART, 'start-again') }
      expect(judged(again, twice)).toMatchObject({ verdict: 'clean', sixButtons: true })
      expect(judged(SIX, twice).verdict).toBe('misread')
      // With an idle reset in between both are.
      const apart = { ...twice, readOffsetsNs: [100_000, 5_000_000] }
      for (const profile of [again, SIX]) expect(judged(profile, apart).verdict).toBe('clean')
    })

    it('a pad kept on its first cycle, as with Mode held at power-on, is one of three buttons', () => {
      for (const read of [FROM_HIGH, FROM_LOW]) {
        const judgement = judged(BUILT_IN_PROFILES['six-button-one-cycle'], { ...read, phaseNs })
        expect(judgement).toMatchObject({
          verdict: 'clean',
          sixButtons: false,
          unseen: ['x', 'y', 'z', 'mode'],
        })
      }
    })
  })

  it('a phase that the reply fills to the last nanosecond is too short', () => {
    const most = REFERENCE_ADAPTER.replyNs.maxNs + CABLE_NS[REFERENCE_ADAPTER.cable].maxNs
    expect(judged(SIX, { ...FROM_HIGH, phaseNs: DEFAULT_MARGIN_NS + most }).verdict).toBe('misread')
    expect(judged(SIX, { ...FROM_HIGH, phaseNs: DEFAULT_MARGIN_NS + most + 1 }).verdict).toBe('tight')
  })
})
