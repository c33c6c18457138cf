import type { Control } from '../../../src/pad/controls.ts'
import type { Ask } from '../../../src/pad/learn/controls-to-ask.ts'
import { Learner, REST_MS } from '../../../src/pad/learn/learner.ts'
import { placesOfDescriptor } from '../../../src/pad/learn/places.ts'
import { uniform } from '../stick/noise.ts'
import { IDLE, PadElectronics, between } from './simulated-pad.ts'
import type { Hands, Random, SimulatedPad } from './simulated-pad.ts'

/** A user who does what is asked, on a pad with faults. Times are invented. */

/** Whether the pad has what is asked. */
export function has(pad: SimulatedPad, ask: Ask): boolean {
  return pad.parts.some((part) => {
    if (ask.kind !== 'press') return part.is === 'stick' && part.stick === ask.stick
    switch (part.is) {
      case 'bit':
      case 'analogue':
        return part.control === ask.control
      case 'hat':
        return ask.control.startsWith('dpad-')
      case 'cross-axis':
        return part.minus === ask.control || part.plus === ask.control
      case 'array':
        return part.controls.includes(ask.control)
      default:
        return false
    }
  })
}

export class Player {
  readonly pad: SimulatedPad
  readonly learner: Learner
  readonly electronics: PadElectronics
  readonly #random: Random
  nowMs = 0
  #nextReportMs = 0
  #last = ''

  constructor(pad: SimulatedPad, seed: number) {
    this.pad = pad
    this.#random = uniform(seed ^ 0x5eed)
    this.electronics = new PadElectronics(pad, seed + 1)
    this.learner = new Learner(placesOfDescriptor({ reports: pad.shapes }), 0)
  }

  /** Lets time pass; `hands` say what is done so many milliseconds after the beginning. */
  pass(ms: number, hands: (sinceMs: number) => Hands = () => IDLE): void {
    const from = this.nowMs
    while (this.nowMs < from + ms) {
      this.nowMs += this.pad.onChange ? 4 : Math.min(this.pad.periodMs, 20)
      const due = this.nowMs >= this.#nextReportMs
      if (due) this.#nextReportMs = this.nowMs + this.pad.periodMs
      if (!due || !this.#send(hands(this.nowMs - from))) this.learner.tick(this.nowMs)
    }
  }

  /** Sends what the pad would send now; false for nothing. */
  #send(hands: Hands): boolean {
    const all = this.pad.numbers.map((number) => ({
      number,
      data: this.electronics.data(number, hands, this.nowMs),
    }))
    if (this.pad.onChange) {
      const now = all.map(({ data }) => data.join()).join(';')
      const same = now === this.#last
      this.#last = now
      if (same) return false
    }
    for (const { number, data } of all) this.learner.report(number, data, this.nowMs)
    return true
  }

  /** Presses one control as a thumb does: out, held, back. */
  press(control: Control, holdMs = between(this.#random, 150, 400)): void {
    const rampMs = between(this.#random, 20, 120)
    this.pass(2 * rampMs + holdMs, (sinceMs) => ({
      ...IDLE,
      levels: {
        [control]: Math.max(0, Math.min(1, sinceMs / rampMs, (2 * rampMs + holdMs - sinceMs) / rampMs)),
      },
    }))
  }

  /** Pushes a stick, not quite straight. */
  push(stick: 'left' | 'right', way: 'up' | 'right'): void {
    const rampMs = between(this.#random, 40, 150)
    const holdMs = between(this.#random, 150, 400)
    const aside = between(this.#random, -0.3, 0.3)
    this.pass(2 * rampMs + holdMs, (sinceMs) => {
      const out = Math.max(0, Math.min(1, sinceMs / rampMs, (2 * rampMs + holdMs - sinceMs) / rampMs))
      return { ...IDLE, [stick]: way === 'up' ? { x: aside * out, y: -out } : { x: out, y: aside * out } }
    })
  }

  roll(stick: 'left' | 'right', turns = 3.6): void {
    const turnMs = between(this.#random, 700, 1200)
    const clockwise = this.#random() < 0.5 ? 1 : -1
    this.pass(turnMs * turns, (sinceMs) => {
      const angle = (clockwise * 2 * Math.PI * sinceMs) / turnMs
      return { ...IDLE, [stick]: { x: Math.cos(angle), y: Math.sin(angle) } }
    })
  }

  /** Waits at rest until the first ask. */
  rest(): void {
    const { learner } = this
    for (let k = 0; k < 100 && learner.view.phase === 'rest'; k++) {
      this.pass(100)
      if (!learner.view.silent) continue
      const any = this.pad.parts.flatMap((part) =>
        part.is === 'bit' ? [part.control] : part.is === 'array' ? part.controls : [],
      )[0]
      if (any !== undefined) this.press(any, 200)
      this.pass(REST_MS)
    }
  }

  /** Does what is asked, or skips what the pad has not. */
  answer(): void {
    const { learner } = this
    for (let k = 0; k < 40 && learner.view.step !== 'waiting'; k++) this.pass(100)
    const { ask } = learner.view
    if (ask === null) throw new Error('nothing is asked')
    if (!has(this.pad, ask)) {
      learner.skip(this.nowMs)
      return
    }
    this.pass(between(this.#random, 50, 300))
    if (ask.kind === 'press') this.press(ask.control)
    else if (ask.kind === 'push') this.push(ask.stick, ask.way)
    else this.roll(ask.stick)
    this.pass(250)
  }

  /** The whole flow, to its end. */
  play(): void {
    this.rest()
    for (let k = 0; k < 60 && this.learner.view.phase === 'ask'; k++) this.answer()
  }
}
