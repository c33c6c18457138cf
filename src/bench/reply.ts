import { PortEngine } from '../port/engine.ts'
import type { PinChange, Pins } from '../port/engine.ts'
import { PINS, inputBit } from '../port/pins.ts'
import type { Input, KnownLevel, Pin } from '../port/pins.ts'
import { LEVEL_CODES, heldPinChanges, holdInputs } from '../port/reply-to-edges.ts'
import type { SelectEdges } from '../port/reply-to-edges.ts'
import { ProfileRunner } from '../profile/run-profile.ts'
import type { Profile } from '../profile/schema.ts'
import { VCD_VALUES } from '../title/vcd/capture.ts'
import type { SelectLine } from '../title/select-line.ts'
import type { VcdValue } from '../title/vcd/capture.ts'
import type { Dump, WireChange, WireValue } from '../title/vcd/write.ts'

export type PinWire = `pin${Pin}`
export type ReplyWire = 'select' | PinWire

const pinWire = (pin: Pin): PinWire => `pin${pin}`
const REPLY_WIRES: readonly ReplyWire[] = ['select', ...PINS.map(pinWire)]

/** As much of a select line as a reply needs. */
export type ReplySelect = Pick<SelectLine, 'timesNs' | 'levels' | 'endNs'>

/** A line that nobody drives is pulled up. */
const LEVELS: Record<VcdValue, KnownLevel> = { '0': 'low', '1': 'high', z: 'high', x: 'unknown' }
const WIRE_VALUES: Record<KnownLevel, WireValue> = { low: '0', high: '1', unknown: 'x' }

/** By value as a capture's column has it. */
const LEVEL_OF = VCD_VALUES.map((value) => LEVELS[value])

/** What one pin shows. */
const pinValue = (pins: Pins, k: number): WireValue => (pins === null ? 'x' : (pins >> k) & 1 ? '1' : '0')

/**
 * What a profile answers to a select line, as a dump with select and the six data pins. Its changes are worked out while
 * they are read, which can be done once.
 *
 * @param held inputs of the port, pressed in this order before time 0 and kept; what repeats in ms counts them from time 0 on, though
 *   the adapter's clock may stand anywhere between two of them
 */
export function replyTo(profile: Profile, held: readonly Input[], line: ReplySelect): Dump<ReplyWire> {
  const runner = new ProfileRunner(profile)
  let asked = 0
  for (const input of held) {
    asked |= inputBit(input)
    runner.ask(asked)
  }
  const select = selectOf(line)
  const countsMs = held.some((input) => profile.repeat[input]?.kind === 'time')
  const repeats = held.some((input) => profile.repeat[input] !== undefined)
  const pins = repeats
    ? pinChanges(runner, countsMs, select, line.endNs)
    : heldPinChanges(holdInputs(profile.chart, runner.inputs), profile, select, line.endNs)
  const start = pins.next()
  if (start.done) throw new Error('something stands on the pins from the start')
  const { level, first } = atStart(select)
  return {
    module: 'port',
    signals: REPLY_WIRES,
    initial: Object.fromEntries([
      ['select', WIRE_VALUES[level]],
      ...PINS.map((pin, k) => [pinWire(pin), pinValue(start.value.pins, k)]),
    ]) as Record<ReplyWire, WireValue>,
    changes: inOrder(select, first, pins),
    endNs: line.endNs,
  }
}

/** Select as edges; what a line says first, at 0 ns, is not an edge. */
function selectOf({ timesNs, levels: values }: ReplySelect): SelectEdges {
  const levels = values.map((value) => LEVEL_CODES[LEVEL_OF[value] as KnownLevel])
  const known = timesNs[0] === 0
  return {
    startLevel: known ? (levels[0] as number) : LEVEL_CODES.unknown,
    atNs: known ? timesNs.subarray(1) : timesNs,
    levels: known ? levels.subarray(1) : levels,
  }
}

const LEVELS_BY_CODE: readonly KnownLevel[] = ['low', 'high', 'unknown']
const levelAt = ({ levels }: SelectEdges, k: number): KnownLevel =>
  LEVELS_BY_CODE[levels[k] as number] as KnownLevel

/** Select after all that it does at 0 ns, and the index of the first edge that comes later. */
function atStart(select: SelectEdges): { readonly level: KnownLevel; readonly first: number } {
  let first = 0
  while (select.atNs[first] === 0) first++
  const level = first === 0 ? (LEVELS_BY_CODE[select.startLevel] as KnownLevel) : levelAt(select, first - 1)
  return { level, first }
}

const MS_NS = 1_000_000

/** Every change of the pins, the start first, where what is held repeats: read by read, as the engine has it. */
function* pinChanges(
  runner: ProfileRunner,
  countsMs: boolean,
  select: SelectEdges,
  endNs: number,
): Generator<PinChange, void> {
  const { atNs } = select
  let port = new PortEngine(runner, LEVELS_BY_CODE[select.startLevel] as KnownLevel)
  let told = 0
  const before = function* (toNs: number): Generator<PinChange, void> {
    for (let change = port.changes[told]; change && change.atNs < toNs; change = port.changes[++told])
      yield change
  }
  let ms = 0
  const ticks = function* (toNs: number): Generator<PinChange, void> {
    for (; countsMs && (ms + 1) * MS_NS <= toNs; yield* before(ms * MS_NS))
      port.press(++ms * MS_NS, () => runner.msPassed(1))
  }
  let lastNs = 0
  for (let k = 0; k < atNs.length;) {
    const ns = atNs[k] as number
    // By then all that select did has been seen on the pins, and so has the idle reset after it. Such a port is as good as a
    // new one, which does not hold the changes so far.
    if (ns > lastNs + runner.idleResetNs + runner.delayNs) {
      yield* ticks(ns - 1)
      port.advance(ns - 1)
      yield* before(ns)
      port = new PortEngine(runner, port.level, ns - 1)
      told = 1
    }
    yield* ticks(ns)
    while (atNs[k] === ns) port.select(ns, levelAt(select, k++))
    yield* before(ns)
    lastNs = ns
  }
  yield* ticks(endNs)
  port.advance(endNs)
  yield* before(endNs + 1)
}

/** Select and pins in order of time, select first and once a nanosecond. */
function* inOrder(
  select: SelectEdges,
  first: number,
  pins: Generator<PinChange, void>,
): Generator<WireChange<ReplyWire>, void> {
  const { atNs } = select
  let next = pins.next()
  const pinsBefore = function* (toNs: number): Generator<WireChange<ReplyWire>, void> {
    for (; !next.done && next.value.atNs < toNs; next = pins.next()) {
      for (const [k, pin] of PINS.entries())
        yield { atNs: next.value.atNs, signal: pinWire(pin), value: pinValue(next.value.pins, k) }
    }
  }
  for (let k = first; k < atNs.length;) {
    const ns = atNs[k] as number
    while (atNs[k] === ns) k++
    yield* pinsBefore(ns)
    yield { atNs: ns, signal: 'select', value: WIRE_VALUES[levelAt(select, k - 1)] }
  }
  yield* pinsBefore(Infinity)
}
