import { PortEngine } from '../port/engine.ts'
import type { Pins } from '../port/engine.ts'
import { PINS, inputBit } from '../port/pins.ts'
import type { Input, KnownLevel, Pin } from '../port/pins.ts'
import { ProfileRunner } from '../profile/run-profile.ts'
import type { Profile } from '../profile/schema.ts'
import type { Capture, VcdValue } from '../title/vcd/capture.ts'
import type { Dump, WireChange, WireValue } from '../title/vcd/write.ts'

export type PinWire = `pin${Pin}`
export type ReplyWire = 'select' | PinWire

const pinWire = (pin: Pin): PinWire => `pin${pin}`
const REPLY_WIRES: readonly ReplyWire[] = ['select', ...PINS.map(pinWire)]

/** A line that nobody drives is pulled up. */
const LEVELS: Record<VcdValue, KnownLevel> = { '0': 'low', '1': 'high', z: 'high', x: 'unknown' }
const WIRE_VALUES: Record<KnownLevel, WireValue> = { low: '0', high: '1', unknown: 'x' }

/** What one pin shows. */
const pinValue = (pins: Pins, k: number): WireValue => (pins === null ? 'x' : (pins >> k) & 1 ? '1' : '0')

/**
 * What a profile answers to a captured select line, as a dump with select and the six data pins.
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

  const opening = capture.changes[0]
  const known = opening !== undefined && opening.atNs === 0
  const engine = new PortEngine(runner, known ? LEVELS[opening.value] : 'unknown')
  const select = [{ atNs: 0, level: engine.level }]
  for (const { atNs, value } of known ? capture.changes.slice(1) : capture.changes) {
    engine.select(atNs, LEVELS[value])
    const last = select[select.length - 1]
    if (last?.atNs === atNs) select.pop()
    select.push({ atNs, level: engine.level })
  }
  engine.advance(capture.endNs)

  const [start, ...pinChanges] = engine.changes.filter((change) => change.atNs <= capture.endNs)
  const startPins = start?.pins ?? null
  return {
    module: 'port',
    signals: REPLY_WIRES,
    initial: Object.fromEntries([
      ['select', WIRE_VALUES[(select[0] as (typeof select)[0]).level]],
      ...PINS.map((pin, k) => [pinWire(pin), pinValue(startPins, k)]),
    ]) as Record<ReplyWire, WireValue>,
    changes: merge(select.slice(1), pinChanges),
    endNs: capture.endNs,
  }
}

/** Select and pins in order of time, select first. */
function* merge(
  select: readonly { atNs: number; level: KnownLevel }[],
  pins: readonly { atNs: number; pins: Pins }[],
): Generator<WireChange<ReplyWire>> {
  let k = 0
  const pinsUntil = function* (endNs: number): Generator<WireChange<ReplyWire>> {
    for (let change = pins[k]; change !== undefined && change.atNs < endNs; change = pins[++k]) {
      const { atNs, pins: now } = change
      yield* PINS.map((pin, bit) => ({ atNs, signal: pinWire(pin), value: pinValue(now, bit) }))
    }
  }
  for (const { atNs, level } of select) {
    yield* pinsUntil(atNs)
    yield { atNs, signal: 'select', value: WIRE_VALUES[level] }
  }
  yield* pinsUntil(Infinity)
}
