import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { maskOf } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { JUDGED_AFTER_MS, ProfileHands } from '../../../src/profile/run-hands.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { Play } from '../../../src/ui/live/play.svelte.ts'
import { ReportRate } from '../../../src/ui/live/report-rate.ts'
import { arbControlMask, arbProfile } from '../../arbitraries.ts'

const six = BUILT_IN_PROFILES['six-button']

/** A clock that a test moves on; frames come when it says so. */
class HandClock {
  ms = 0.4
  #waiting: (() => void)[] = []
  nowMs = () => this.ms
  nextFrame = (run: () => void) => void this.#waiting.push(run)
  get awaited(): number {
    return this.#waiting.length
  }
  frame(afterMs: number): void {
    this.ms += afterMs
    const due = this.#waiting
    this.#waiting = []
    for (const run of due) run()
  }
}

const held = (...controls: Control[]) => controlMask(controls)

describe('the open profile in real time', () => {
  it('waits for a chord, lets a control alone pass when its time is over, and then asks for no more frames', () => {
    const profile: Profile = {
      ...six,
      chords: [{ held: ['face-south', 'face-east'], withinMs: 40, inputs: ['start'] }],
    }
    const clock = new HandClock()
    const play = new Play(profile, clock)
    expect(clock.awaited).toBe(0)
    play.hold(held('face-south'))
    expect([play.inputs, play.passing, clock.awaited]).toEqual([0, 0, 1])
    clock.frame(16)
    play.hold(held('face-south', 'face-east'))
    expect([play.inputs, play.chorded]).toEqual([maskOf(['start']), maskOf(['start'])])
    play.hold(0)
    clock.frame(100)
    expect([play.inputs, clock.awaited]).toEqual([0, 0])

    play.hold(held('face-south'))
    clock.frame(39)
    expect(play.inputs).toBe(0)
    clock.frame(1)
    expect([play.inputs, clock.awaited]).toEqual([maskOf(['b']), 0])
  })

  it('toggles a layer, repeats in ms while something is held, and forgets the toggle with the next profile', () => {
    const profile: Profile = {
      ...six,
      layers: [{ kind: 'toggled', by: ['shoulder-left'], mapping: { start: ['face-south'], b: [] } }],
      repeat: { start: { kind: 'time', pressedMs: 30, releasedMs: 20 } },
    }
    const clock = new HandClock()
    const play = new Play(profile, clock)
    play.hold(held('shoulder-left'))
    play.hold(0)
    expect(play.layersOn).toEqual(profile.layers)
    clock.frame(16)
    expect(clock.awaited).toBe(0)
    play.hold(held('face-south'))
    const pressed = [0, 10, 10, 10, 10, 10].map((ms) => {
      clock.frame(ms)
      return play.inputs
    })
    const start = maskOf(['start'])
    expect(pressed).toEqual([start, start, start, 0, 0, start])
    play.load(six)
    expect([play.layersOn, play.inputs]).toEqual([[], maskOf(['b'])])
  })

  it('does what the whole of the hands does once power-on is over, whenever frames come', () => {
    const moves = fc.array(
      fc.record({
        afterMs: fc.integer({ min: 0, max: 400 }),
        frameFirst: fc.boolean(),
        mask: arbControlMask,
      }),
      { maxLength: 25 },
    )
    fc.assert(
      fc.property(arbProfile, moves, (profile, all) => {
        const clock = new HandClock()
        clock.ms = JUDGED_AFTER_MS
        const play = new Play(profile, clock)
        // The reference: judged with nothing held, which no rule answers.
        const hands = new ProfileHands({ ...profile, powerOn: [] })
        hands.report(0, 0)
        hands.tick(JUDGED_AFTER_MS)
        for (const move of all) {
          if (move.frameFirst) {
            clock.frame(Math.floor(move.afterMs / 2))
            clock.ms += move.afterMs - Math.floor(move.afterMs / 2)
          } else clock.ms += move.afterMs
          play.hold(move.mask)
          hands.report(move.mask, clock.ms)
          expect([play.inputs, play.passing]).toEqual([hands.inputs, hands.passing])
          expect(play.restPins).toBe(hands.pinsAt(0, 'high'))
        }
      }),
      { numRuns: 150 },
    )
  })
})

it('counts the reports of the last second', () => {
  const rate = new ReportRate()
  for (let ms = 0; ms < 2000; ms += 8) rate.came(ms)
  // 125 a second, as one every 8 ms is.
  expect(rate.perSecond(1999)).toBe(125)
  expect(rate.perSecond(2500)).toBe(62)
  expect(rate.perSecond(4000)).toBe(0)
  for (let k = 0; k < 10_000; k++) rate.came(5000 + k / 10)
  expect(rate.perSecond(5999.9)).toBe(10_000)
})
