import { PortEngine } from '../port/engine.ts'
import type { Pins } from '../port/engine.ts'
import { PINS, inputBit } from '../port/pins.ts'
import type { Input, KnownLevel, Pin } from '../port/pins.ts'
import { ProfileRunner } from '../profile/run-profile.ts'
import type { Profile } from '../profile/schema.ts'
import { VCD_VALUES } from '../title/vcd/capture.ts'
import type { Capture, VcdValue } from '../title/vcd/capture.ts'
import type { Dump, WireChange, WireValue } from '../title/vcd/write.ts'

export type PinWire = `pin${Pin}`
export type ReplyWire = 'select' | PinWire

const pinWire = (pin: Pin): PinWire => `pin${pin}`
const REPLY_WIRES: readonly ReplyWire[] = ['select', ...PINS.map(pinWire)]

/** A line that nobody drives is pulled up. */
const LEVELS: Record<VcdValue, KnownLevel> = { '0': 'low', '1': 'high', z: 'high', x: 'unknown' }
const WIRE_VALUES: Record<KnownLevel, WireValue> = { low: '0', high: '1', unknown: 'x' }

/** By value as a capture's column has it. */
const LEVEL_OF = VCD_VALUES.map((value) => LEVELS[value])

/** What one pin shows. */
const pinValue = (pins: Pins, k: number): WireValue => (pins === null ? 'x' : (pins >> k) & 1 ? '1' : '0')

/**
 * What a profile answers to a captured select line, as a dump with select and the six data pins. Its changes are worked out while
 * they are read, which can be done once.
 *
 * @param held inputs of the port, pressed in this order before time 0 and kept
 */
export function replyTo(profile: Profile, held: readonly Input[], capture: Capture): Dump<ReplyWire> {
  const runner = new ProfileRunner(profile)
  let asked = 0
  for (const input of held) {
    asked |= inputBit(input)
    runner.ask(asked)
  }
  const known = capture.timesNs[0] === 0
  const engine = new PortEngine(runner, known ? levelAt(capture, 0) : 'unknown')
  let next = known ? 1 : 0
  while (capture.timesNs[next] === 0) engine.select(0, levelAt(capture, next++))
  const startPins = engine.pins
  return {
    module: 'port',
    signals: REPLY_WIRES,
    initial: Object.fromEntries([
      ['select', WIRE_VALUES[engine.level]],
      ...PINS.map((pin, k) => [pinWire(pin), pinValue(startPins, k)]),
    ]) as Record<ReplyWire, WireValue>,
    changes: changesAfter(engine, runner, capture, next),
    endNs: capture.endNs,
  }
}

const levelAt = ({ values }: Capture, k: number): KnownLevel => LEVEL_OF[values[k] as number] as KnownLevel

/**
 * Select and pins in order of time, select first and once a nanosecond.
 *
 * @param engine has been told of all changes before the one with index `first`
 */
function* changesAfter(
  engine: PortEngine,
  runner: ProfileRunner,
  capture: Capture,
  first: number,
): Generator<WireChange<ReplyWire>, void> {
  const { timesNs, endNs } = capture
  let port = engine
  /** How many of the port's changes have been told; the first is its start. */
  let told = 1
  const pinsBefore = function* (toNs: number): Generator<WireChange<ReplyWire>, void> {
    for (let change = port.changes[told]; change && change.atNs < toNs; change = port.changes[++told]) {
      for (const [k, pin] of PINS.entries())
        yield { atNs: change.atNs, signal: pinWire(pin), value: pinValue(change.pins, k) }
    }
  }
  let lastNs = 0
  for (let k = first; k < timesNs.length;) {
    const atNs = timesNs[k] as number
    // By then all that select did has been seen on the pins, and so has the idle reset after it. Such a port is as good as a
    // new one, which does not hold the changes so far.
    if (atNs > lastNs + runner.idleResetNs + runner.delayNs) {
      port.advance(atNs - 1)
      yield* pinsBefore(atNs)
      port = new PortEngine(runner, port.level, atNs - 1)
      told = 1
    }
    while (timesNs[k] === atNs) port.select(atNs, levelAt(capture, k++))
    yield* pinsBefore(atNs)
    yield { atNs, signal: 'select', value: WIRE_VALUES[port.level] }
    lastNs = atNs
  }
  port.advance(endNs)
  yield* pinsBefore(endNs + 1)
}
