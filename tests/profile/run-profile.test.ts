import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlMask } from '../../src/pad/controls.ts'
import { PortEngine } from '../../src/port/engine.ts'
import { inputBit, inputsIn, maskOf, pinLevel } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { ProfileRunner } from '../../src/profile/run-profile.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { arbProfile, arbSelectSequence } from '../arbitraries.ts'
import { draws } from '../draws.ts'

const SIX = BUILT_IN_PROFILES['six-button']
const THREE = BUILT_IN_PROFILES['three-button']

describe('auto-repeat', () => {
  const repeated = (pressedReads: number, releasedReads: number, more: Partial<Profile> = {}) =>
    new ProfileRunner({
      ...THREE,
      repeat: {
        a: { kind: 'reads', pressedReads, releasedReads },
        up: { kind: 'reads', pressedReads, releasedReads },
      },
      ...more,
    })
  /** Whether `a` is pressed in each of the next reads. */
  const reads = (runner: ProfileRunner, count: number): string =>
    Array.from({ length: count }, () => {
      const pressed = runner.inputs & inputBit('a') ? 'p' : '.'
      runner.readEnded()
      return pressed
    }).join('')

  it.each([
    [1, 1, 'p.p.p.p.'],
    [2, 1, 'pp.pp.pp'],
    [1, 3, 'p...p...'],
    [3, 2, 'ppp..ppp'],
  ])('%d pressed, %d released: the first read is pressed', (pressed, released, pattern) => {
    const runner = repeated(pressed, released)
    runner.ask(inputBit('a'))
    expect(reads(runner, 8)).toBe(pattern)
  })

  it('counts from the press on, not from power-on', () => {
    const runner = repeated(1, 1)
    expect(reads(runner, 3)).toBe('...')
    runner.ask(inputBit('a'))
    expect(reads(runner, 3)).toBe('p.p')
  })

  it('begins anew with each press', () => {
    const runner = repeated(1, 1)
    runner.ask(inputBit('a'))
    expect(reads(runner, 1)).toBe('p')
    expect(inputsIn(runner.inputs)).toEqual([])
    runner.ask(0)
    runner.ask(inputBit('a'))
    expect(inputsIn(runner.inputs)).toEqual(['a'])
  })

  it('goes on while other inputs come and go', () => {
    const runner = repeated(1, 1)
    runner.ask(inputBit('a'))
    runner.readEnded()
    runner.ask(maskOf(['a', 'b']))
    expect(inputsIn(runner.inputs)).toEqual(['b'])
    runner.readEnded()
    expect(inputsIn(runner.inputs)).toEqual(['a', 'b'])
  })

  it('leaves inputs without repeat alone', () => {
    const runner = repeated(1, 1)
    runner.ask(maskOf(['a', 'b', 'down']))
    runner.readEnded()
    expect(inputsIn(runner.inputs)).toEqual(['down', 'b'])
  })

  it('counts from when a direction begins to pass, not from when it is held', () => {
    const runner = repeated(1, 1, { opposite: { vertical: 'last', horizontal: 'as-held' } })
    runner.ask(maskOf(['up']))
    runner.readEnded()
    expect(inputsIn(runner.inputs)).toEqual([])
    runner.ask(maskOf(['up', 'down']))
    expect(inputsIn(runner.inputs)).toEqual(['down'])
    runner.readEnded()
    runner.ask(maskOf(['up']))
    expect(inputsIn(runner.inputs)).toEqual(['up'])
  })

  it('advances once a read at the port, however many cycles a read has', () => {
    const profile: Profile = {
      ...THREE,
      repeat: { up: { kind: 'reads', pressedReads: 1, releasedReads: 1 } },
    }
    const runner = new ProfileRunner(profile)
    const engine = new PortEngine(runner, 'high')
    engine.press(0, () => runner.ask(inputBit('up')))
    const seen: string[] = []
    for (let read = 0; read < 4; read++) {
      for (let edge = 0; edge < 6; edge++) {
        const atNs = 1_000 + read * 16_000_000 + edge * 5_000
        engine.select(atNs, edge % 2 === 0 ? 'low' : 'high')
        seen.push(engine.pins === null ? '?' : pinLevel(engine.pins, 1) === 'low' ? 'p' : '.')
      }
    }
    expect(seen.join('')).toBe('pppppp......pppppp......')
  })

  it('has a period of pressed and released reads, with as many pressed as it says', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 255 }), fc.integer({ min: 1, max: 255 }), (pressed, released) => {
        const runner = repeated(pressed, released)
        runner.ask(inputBit('a'))
        const once = 'p'.repeat(pressed) + '.'.repeat(released)
        expect(reads(runner, 2 * (pressed + released))).toBe(once + once)
      }),
      { numRuns: 50 },
    )
  })
})

describe('the first cycle only', () => {
  const edges = (engine: PortEngine, fromNs: number) => {
    for (let edge = 0; edge < 5; edge++) engine.select(fromNs + edge * 5_000, edge % 2 === 0 ? 'low' : 'high')
  }

  it('holds from the next idle reset on, and for good', () => {
    const runner = new ProfileRunner(SIX)
    const engine = new PortEngine(runner, 'high')
    edges(engine, 1_000)
    expect(engine.pins).toBe(0b110000)
    runner.limitToFirstCycle()
    // The reply of the read that is under way does not change under the title's hands.
    expect(engine.pins).toBe(0b110000)
    engine.select(30_000, 'high')
    for (let read = 1; read < 5; read++) {
      edges(engine, read * 16_000_000)
      expect(engine.rises).toBe(2)
      expect(engine.pins).toBe(0b110011)
      engine.select(read * 16_000_000 + 30_000, 'high')
    }
  })

  it('without an idle reset nothing changes', () => {
    const runner = new ProfileRunner(SIX)
    runner.limitToFirstCycle()
    const engine = new PortEngine(runner, 'high')
    edges(engine, 100_000_000)
    expect(engine.pins).toBe(0b110000)
  })

  it('is then the same as a chart of one cycle that starts again', () => {
    fc.assert(
      fc.property(
        arbProfile.chain((profile) => fc.tuple(fc.constant(profile), arbSelectSequence(profile.idleResetNs))),
        ([profile, { startLevel, steps }]) => {
          const limited = new ProfileRunner(profile)
          limited.limitToFirstCycle()
          limited.readEnded()
          const [first] = profile.chart.cycles
          if (first === undefined) return
          const single = new ProfileRunner({
            ...profile,
            chart: { cycles: [first], after: { kind: 'start-again' } },
          })
          const traces = [limited, single].map((runner) => {
            const engine = new PortEngine(runner, startLevel)
            engine.press(0, () => runner.ask(0b1010_1010_1010))
            for (const { atNs, level } of steps) engine.select(atNs, level)
            return engine.changes
          })
          expect(traces[0]).toEqual(traces[1])
        },
      ),
    )
  })
})

it('the deliberate delay shifts the end of a read as well', () => {
  fc.assert(
    fc.property(
      arbProfile.chain((profile) => fc.tuple(fc.constant(profile), arbSelectSequence(profile.idleResetNs))),
      fc.boolean(),
      ([profile, { startLevel, steps }], limited) => {
        const trace = (delayNs: number) => {
          const runner = new ProfileRunner({ ...profile, delayNs })
          runner.ask(0b0110_0101_0101)
          if (limited) runner.limitToFirstCycle()
          const engine = new PortEngine(runner, startLevel)
          for (const { atNs, level } of steps) engine.select(atNs, level)
          engine.advance((steps.at(-1)?.atNs ?? 0) + 2 * profile.idleResetNs + delayNs)
          return engine.changes
        }
        const [start, ...rest] = trace(0)
        expect(trace(profile.delayNs)).toEqual([
          start,
          ...rest.map(({ atNs, pins }) => ({ atNs: atNs + profile.delayNs, pins })),
        ])
      },
    ),
    { numRuns: draws(300) },
  )
})

it('controls go through mapping and layers to the pins', () => {
  const runner = new ProfileRunner({
    ...SIX,
    layers: [{ kind: 'held', by: ['centre'], mapping: { up: ['face-south'] } }],
  })
  runner.setControls(controlMask(['face-south', 'dpad-up']))
  expect(inputsIn(runner.inputs)).toEqual(['up', 'b'])
  runner.setControls(controlMask(['face-south', 'centre']))
  expect(inputsIn(runner.inputs)).toEqual(['up', 'b'])
  expect(pinLevel(runner.pinsAt(0, 'high'), 1)).toBe('low')
  runner.setControls(controlMask(['dpad-up', 'centre']))
  expect(inputsIn(runner.inputs)).toEqual([])
})
