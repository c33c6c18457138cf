import { VirtualPad } from '../../reference/adapter/emulator/virtual-pad.ts'
import { gamePad } from '../../reference/adapter/emulator/virtual-pads.ts'
import type { Visit } from './arbitrary-pad.ts'
import { MS, NOTHING_PRESSED, REST, UP, UP_PRESSED } from './pad-rig.ts'
import type { PadRig } from './pad-rig.ts'

/** Power off and on helps a device at most so long after it was pulled: a fault is waited out first. */
const LIMIT_MS = 5000

/**
 * One pad after another at the same plug, and after each a good one, which must be served as if nothing had been. A trap of the
 * emulated chip is thrown from here.
 *
 * @returns what went wrong, in words; null where nothing did
 */
export function visit(rig: PadRig, { pad: description, reports, staysMs, emptyMs }: Visit): string | null {
  const { chip } = rig
  const stranger = new VirtualPad(description)
  chip.plugPad(stranger)
  reports.forEach((report, k) => chip.at(chip.nowNs + (300 + 40 * k) * MS, () => stranger.report(report)))
  chip.runFor(staysMs * MS)
  chip.unplugPad()
  chip.runFor(100_000)
  if (chip.de9 !== NOTHING_PRESSED) return 'something stays pressed after the pad has gone'
  chip.runFor(emptyMs * MS)
  const good = new VirtualPad(gamePad())
  chip.plugPad(good)
  if (!rig.served(good, LIMIT_MS)) return 'a good pad is not served'
  rig.settle(good)
  const shows = (report: Uint8Array): number => {
    rig.report(good, report)
    return chip.de9
  }
  if (shows(UP) !== UP_PRESSED) return 'what a good pad holds does not reach the port'
  if (shows(REST) !== NOTHING_PRESSED) return 'what a good pad lets go of stays pressed'
  chip.unplugPad()
  chip.runFor(MS)
  if (chip.watchdogResets > 0) return 'the watchdog had to help'
  // One that leaves the bus in the midst of a reset has nobody else to blame.
  const minded = description.vices?.leavesAfterMs === undefined ? stranger.complaints : []
  const [complaint] = [...minded, ...good.complaints]
  return complaint === undefined ? null : `the pad complains of ${complaint}`
}
