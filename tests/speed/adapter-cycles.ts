import { CYCLE_NS } from '../../src/adapter/emulator/timeline.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import {
  bankWriteRatio,
  idleResetNs,
  inputCycles,
  replyCycles,
  reportCycles,
} from '../adapter/firmware/measure.ts'

/** Seed of the random spacings, so that a figure can be had again. */
const SEED = 1

function row(name: string, figures: readonly number[]): void {
  const sorted = [...figures].sort((p, q) => p - q)
  const at = (share: number): number => sorted[Math.round(share * (sorted.length - 1))] as number
  console.log(`cycles ${name} ${at(0)} ${at(0.5)} ${at(1)}`)
}

/** `cycles NAME MIN MEDIAN MAX`, of 8 ns, measured on the pins of the emulated chip; no figure of a physical one. */
export function adapterCycles(): void {
  row('edge-to-pins', replyCycles('stay', 0, 4_000, SEED))
  row('edge-to-pins-start-again', replyCycles('start-again', 0, 4_000, SEED))
  row('edge-to-pins-most-delay', replyCycles('stay', 7, 4_000, SEED))
  row('input-to-pins', inputCycles(200, SEED))
  row(
    'idle-reset-lateness',
    idleResetNs(100_000, 0, 200, SEED).map((ns) => ns / CYCLE_NS),
  )
  const reports = reportCycles(400, SEED)
  row('report-to-pins', reports)
  console.log(`us report-to-pins ${((Math.max(...reports) * CYCLE_NS) / 1000).toFixed(1)} of 50`)
  const [three, six] = (['three-button', 'six-button'] as const).map((name) =>
    encodeImage(BUILT_IN_PROFILES[name]),
  )
  // Here below is better: 1 would be the time of the wire and the flash alone.
  if (three && six)
    console.log(`ratio bank-write-over-wire-and-flash ${bankWriteRatio(three, six).toFixed(2)}`)
}
