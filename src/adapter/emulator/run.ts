import type { Clock } from '../clock.ts'
import type { Chip } from './chip.ts'

/** How much emulated time passes between two looks at what promises have brought. */
const SLICE_NS = 100_000

/** A clock for sessions that runs in the chip's time, so that nothing depends on how fast the machine is. */
export const chipClock = (chip: Chip): Clock => ({
  after(ms, run) {
    const alarm = chip.at(chip.nowNs + ms * 1e6, run)
    return () => alarm.cancel()
  },
})

/**
 * Lets the chip's time pass, as fast as the machine can, until a promise is settled.
 *
 * @param limitNs emulated time after which it is given up
 * @throws Error when that time has passed, and whatever the promise rejects with
 */
export async function runUntilSettled<Value>(
  chip: Chip,
  promise: Promise<Value>,
  limitNs = 60e9,
): Promise<Value> {
  let settled = false
  const mark = (): void => {
    settled = true
  }
  promise.then(mark, mark)
  const turns = new Turns()
  try {
    const end = chip.nowNs + limitNs
    for (;;) {
      await turns.next()
      if (settled) return await promise
      if (chip.nowNs >= end) throw new Error(`nothing came of it in ${limitNs / 1e6} ms of the chip's time`)
      chip.runFor(SLICE_NS)
    }
  } finally {
    turns.close()
  }
}

/** Turns of the event loop without the pause that timers make. */
class Turns {
  readonly #channel = new MessageChannel()
  #then: (() => void) | null = null

  constructor() {
    this.#channel.port1.onmessage = () => this.#then?.()
  }

  next(): Promise<void> {
    return new Promise((resolve) => {
      this.#then = resolve
      this.#channel.port2.postMessage(null)
    })
  }

  close(): void {
    this.#channel.port1.close()
  }
}
