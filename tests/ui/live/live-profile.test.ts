import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { maskOf } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { JUDGED_AFTER_MS } from '../../../src/profile/run-controls.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { LiveProfile } from '../../../src/ui/live/live-profile.svelte.ts'
import { ReportRate } from '../../../src/ui/live/report-rate.ts'
import { arbControlMask, arbProfile } from '../../arbitraries.ts'
import { ImageControlsRunner } from '../../reference/profile/run-image-controls.ts'
import { draws } from '../../draws.ts'

const six = BUILT_IN_PROFILES['six-button']

/** A clock that a test moves on; frames come when it says so. */
class StoppedClock {
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
    const clock = new StoppedClock()
    const live = new LiveProfile(profile, clock)
    expect(clock.awaited).toBe(0)
    live.hold(held('face-south'))
    expect([live.inputs, live.asked, clock.awaited]).toEqual([0, 0, 1])
    clock.frame(16)
    live.hold(held('face-south', 'face-east'))
    expect([live.inputs, live.asked]).toEqual([maskOf(['start']), maskOf(['start'])])
    live.hold(0)
    clock.frame(100)
    expect([live.inputs, clock.awaited]).toEqual([0, 0])

    live.hold(held('face-south'))
    clock.frame(39)
    expect(live.inputs).toBe(0)
    clock.frame(1)
    expect([live.inputs, clock.awaited]).toEqual([maskOf(['b']), 0])
  })

  it('toggles a layer, repeats in ms while something is held, and forgets the toggle with the next profile', () => {
    const profile: Profile = {
      ...six,
      layers: [{ kind: 'toggled', by: ['shoulder-left'], mapping: { start: ['face-south'], b: [] } }],
      repeat: { start: { kind: 'time', pressedMs: 30, releasedMs: 20 } },
    }
    const clock = new StoppedClock()
    const live = new LiveProfile(profile, clock)
    live.hold(held('shoulder-left'))
    live.hold(0)
    expect(live.layersOn).toEqual(profile.layers)
    clock.frame(16)
    expect(clock.awaited).toBe(0)
    live.hold(held('face-south'))
    const pressed = [0, 10, 10, 10, 10, 10].map((ms) => {
      clock.frame(ms)
      return live.inputs
    })
    const start = maskOf(['start'])
    expect(pressed).toEqual([start, start, start, 0, 0, start])
    live.load(six)
    expect([live.layersOn, live.inputs]).toEqual([[], maskOf(['b'])])
  })

  it('does what an adapter does whose power-on is over, whenever frames come and profiles change', () => {
    const moves = fc.array(
      fc.record({
        afterMs: fc.integer({ min: 0, max: 400 }),
        frameFirst: fc.boolean(),
        mask: arbControlMask,
        load: fc.option(arbProfile, { freq: 5 }),
      }),
      { maxLength: 25 },
    )
    fc.assert(
      fc.property(arbProfile, moves, (profile, all) => {
        const clock = new StoppedClock()
        clock.ms = JUDGED_AFTER_MS
        const live = new LiveProfile(profile, clock)
        // The reference reads the image: judged with nothing held, which no rule answers.
        const image = (of: Profile) => encodeImage({ ...of, powerOn: [] })
        const reference = new ImageControlsRunner(image(profile))
        reference.report(0, 0)
        reference.tick(JUDGED_AFTER_MS)
        for (const move of all) {
          if (move.frameFirst) {
            clock.frame(Math.floor(move.afterMs / 2))
            clock.ms += move.afterMs - Math.floor(move.afterMs / 2)
          } else clock.ms += move.afterMs
          live.hold(move.mask)
          reference.report(move.mask, clock.ms)
          if (move.load !== null) {
            live.load(move.load)
            reference.load(image(move.load), 0, clock.ms)
          }
          expect([live.inputs, live.asked]).toEqual([reference.inputs, reference.asked])
          expect(live.restPins).toBe(reference.pinsAt(0, 'high'))
        }
      }),
      { numRuns: draws(150) },
    )
  })

  it('what is held while another profile is loaded passes at once, in no chord, and holds its layers', () => {
    const profile: Profile = {
      ...six,
      chords: [{ held: ['face-south', 'face-east'], withinMs: 40, inputs: ['start'] }],
      layers: [{ kind: 'held', by: ['shoulder-left'], mapping: { mode: ['face-south'], b: [], x: [] } }],
    }
    const clock = new StoppedClock()
    const live = new LiveProfile(six, clock)
    live.hold(held('face-south', 'shoulder-left'))
    live.load(profile)
    expect([live.inputs, live.asked, live.waiting]).toEqual([maskOf(['mode']), maskOf(['mode']), 0])
    expect([live.layersOn, live.chordsOn, clock.awaited]).toEqual([profile.layers, [], 0])
    live.hold(held('face-south', 'face-east', 'shoulder-left'))
    expect([live.chordsOn, live.waiting]).toEqual([[], held('face-east')])
    // The same profile once more is no new meaning: what was toggled or waits goes on.
    live.load(profile)
    expect(live.waiting).toBe(held('face-east'))
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
