import type { Pace } from '../../../src/ui/learn/learn-session.svelte.ts'
import type { FakeHidDevice } from './fake-hid.ts'

/** Frames and clock that a test moves. */
export class FakePace implements Pace {
  #nowMs = 0
  #work: (() => void) | null = null
  readonly nowMs = (): number => this.#nowMs
  readonly nextFrame = (work: () => void) => {
    this.#work = work
    return () => (this.#work = null)
  }

  frame(ms = 16): void {
    this.#nowMs += ms
    this.#work?.()
  }
}

/** A player with the pad of `fake-hid.ts` in hand, whose sticks never stand quite still. */
export class Player {
  readonly pace: FakePace
  device: FakeHidDevice
  #count = 0

  constructor(device: FakeHidDevice, pace: FakePace) {
    this.device = device
    this.pace = pace
  }

  /** Holds these bytes for so long, at 125 reports a second. */
  hold(bytes: Readonly<Record<number, number>>, ms: number): void {
    for (let at = 0; at < ms; at += 8) {
      const noise = this.#count++ % 3
      this.device.send({ 3: 127 + noise, 4: 129 - noise, ...bytes })
      this.pace.frame(8)
    }
  }

  rest(ms = 400): void {
    this.hold({}, ms)
  }

  press(bytes: Readonly<Record<number, number>>): void {
    this.hold(bytes, 200)
    this.rest()
  }

  roll(turns = 4): void {
    for (let step = 0; step <= turns * 24; step++) {
      const angle = (step * 2 * Math.PI) / 24
      const at = (share: number) => Math.max(0, Math.min(255, Math.round(128 + 126 * share)))
      this.hold({ 3: at(Math.cos(angle)), 4: at(Math.sin(angle)) }, 16)
    }
    this.rest()
  }
}
