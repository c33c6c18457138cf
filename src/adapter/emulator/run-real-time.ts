import type { Chip } from './chip.ts'

/** How often the chip is taken to the present. */
const STEP_MS = 4
/** A stretch longer than this is left out: the page slept, or the machine is too slow. */
const LONGEST_STEP_MS = 100

export interface RealTime {
  stop(): void
  /** Emulated time that had to be left out, in milliseconds; it grows where the machine is too slow. */
  readonly lostMs: number
}

/**
 * Keeps the chip's time beside that of the wall.
 *
 * @param chip asked for at each step, so that a power cycle can bring another
 * @param failed told once if the chip traps; it stands still then
 */
export function runInRealTime(
  chip: () => Chip,
  failed: (error: unknown) => void,
  { now = () => performance.now(), every = setInterval, never = clearInterval } = {},
): RealTime {
  let last = now()
  let lostMs = 0
  const timer = every(() => {
    const wall = now()
    const passed = wall - last
    last = wall
    const step = Math.min(passed, LONGEST_STEP_MS)
    lostMs += passed - step
    try {
      chip().runFor(step * 1e6)
    } catch (error) {
      never(timer)
      failed(error)
    }
  }, STEP_MS)
  return {
    stop: () => never(timer),
    get lostMs() {
      return lostMs
    },
  }
}
