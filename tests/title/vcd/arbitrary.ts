import fc from 'fast-check'
import type { Capture, CaptureSpan, VcdValue } from '../../../src/title/vcd/capture.ts'
import { VCD_VALUES } from '../../../src/title/vcd/capture.ts'
import type { Dump, WireChange, WireValue } from '../../../src/title/vcd/write.ts'

export const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)

export interface VcdChange {
  readonly atNs: number
  readonly value: VcdValue
}

/** A capture with its changes in a list, as a test writes it down. */
export interface ListedCapture extends CaptureSpan {
  readonly changes: readonly VcdChange[]
}

export const captureOf = ({ changes, ...span }: ListedCapture): Capture => ({
  ...span,
  timesNs: Float64Array.from(changes, ({ atNs }) => atNs),
  values: Uint8Array.from(changes, ({ value }) => VCD_VALUES.indexOf(value)),
})

export const listed = ({ timesNs, values, ...span }: Capture): ListedCapture => ({
  ...span,
  changes: Array.from(timesNs, (atNs, k) => {
    const value = VCD_VALUES[values[k] ?? NaN]
    if (value === undefined) throw new Error(`no value for the change at ${atNs} ns`)
    return { atNs, value }
  }),
})

/** Cuts bytes at the given places, in whatever order and however often they come. */
export function cutAt(bytes: Uint8Array, places: readonly number[]): Uint8Array[] {
  const cuts = [...places].map((place) => place % (bytes.length + 1)).sort((a, b) => a - b)
  return [0, ...cuts].map((from, k) => bytes.subarray(from, cuts[k] ?? bytes.length))
}

const blank = fc.constantFrom(' ', '\n', '\r\n', '\t', '  ', ' \n\n', '\v', '\f')
const comment = fc.constantFrom(
  '$comment anything $end',
  '$comment $var wire 1 ! select #5 1! ümläut $end',
  '$house_note select = 1! $end',
)

const units = ['s', 'ms', 'us', 'ns', 'ps', 'fs'] as const
/** Femtoseconds in each unit. */
const unitFs = { s: 10n ** 15n, ms: 10n ** 12n, us: 10n ** 9n, ns: 10n ** 6n, ps: 10n ** 3n, fs: 1n }

const timescale = fc.record({
  count: fc.constantFrom('1', '10', '100'),
  unit: fc.constantFrom(...units),
  between: fc.constantFrom('', ' ', '\n\t'),
})

/** One word (or two) that gives the wire with code `s` the value, or something of no concern to it. */
const event = fc.oneof(
  { weight: 4, arbitrary: fc.constantFrom('0s', '1s', 'xs', 'zs', 'Xs', 'Zs') },
  {
    weight: 2,
    arbitrary: fc.constantFrom('b0 s', 'b1 s', 'B1 s', 'bx s', 'bZ s', 'b0001 s', 'bxxx s', 'b00 s'),
  },
  {
    weight: 2,
    arbitrary: fc.constantFrom('1ss', '0!', 'b10x0 ~~', 'r-1.5e3 real', 'sanything real', '$dumpall xs $end'),
  },
  { weight: 1, arbitrary: comment },
)

const step = fc.record({
  ticks: fc.oneof(fc.bigInt(0n, 20n), fc.bigInt(0n, 10n ** 7n)),
  events: fc.array(event, { maxLength: 4 }),
})

const HEADER = [
  '$scope module top $end',
  '$var reg 1 ! clk $end',
  '$var reg 1 ss other [3] $end',
  '$scope begin port $end',
  '$var wire 1 s select $end',
  '$var wire 4 ~~ bus [3:0] $end',
  '$upscope $end',
  '$var wire 1 s alias_of_it $end',
  '$var real 64 real level $end',
]

const valueOf = (word: string): VcdValue | undefined => {
  const form = /^(?:\$dumpall )?(?:([01xzXZ])s|[bB][01xzXZ]*([01xzXZ]) s)(?: \$end)?$/.exec(word)
  return (form?.[1] ?? form?.[2])?.toLowerCase() as VcdValue | undefined
}

/**
 * A dump in any shape the standard allows, with what a reader must take out of it: worked out from the same parts, in
 * BigInt arithmetic. The stamps stay below 2^53 ns.
 */
export const dumpText: fc.Arbitrary<{ text: string; capture: ListedCapture }> = fc
  .record({
    timescale,
    early: fc.array(event, { maxLength: 3 }),
    steps: fc.array(step, { maxLength: 12 }),
    blanks: fc.array(blank, { minLength: 7, maxLength: 7 }),
    note: comment,
  })
  .map(({ timescale: { count, unit, between }, early, steps, blanks, note }) => {
    const words: string[] = []
    const changes: { atNs: number; value: VcdValue }[] = []
    const play = (events: readonly string[], atNs: number): void => {
      for (const said of events) {
        words.push(said)
        const value = valueOf(said)
        if (value !== undefined && value !== changes.at(-1)?.value) changes.push({ atNs, value })
      }
    }
    words.push('$date', 'some', 'day', '$end', note, `$timescale ${count}${between}${unit} $end`)
    words.push(...HEADER, '$enddefinitions', '$end', '$dumpvars', '0!', 'b1 ~~', '$end')
    play(early, 0)
    const tickFs = BigInt(count) * unitFs[unit]
    let ticks = 0n
    let endNs = 0
    let firstNs: number | undefined
    for (const { ticks: more, events } of steps) {
      const next = ticks + more
      if ((next * tickFs) / 10n ** 6n >= 2n ** 53n) break
      ticks = next
      endNs = Number((ticks * tickFs) / 10n ** 6n)
      firstNs ??= endNs
      words.push(`#${ticks}`)
      play(events, endNs)
    }
    const startNs = changes[0]?.atNs === 0 ? 0 : (firstNs ?? 0)
    const text = words.map((word, k) => word.replaceAll(' ', blanks[k % 3] ?? ' ') + blanks[k % 7]).join('')
    return { text, capture: { signalPath: 'top.port.select', changes, startNs, endNs } }
  })

export const SIGNALS = ['select', 'pin1', 'pin9'] as const
export type Signal = (typeof SIGNALS)[number]

/** A dump whose changes can be read more than once. */
export interface TestDump extends Dump<Signal> {
  readonly changes: readonly WireChange<Signal>[]
}

/** What may be given to the writer: changes of some of the values, with up to `maxStepNs` between them. */
export function dumpOf(values: readonly WireValue[], maxStepNs: number): fc.Arbitrary<TestDump> {
  const value = fc.constantFrom(...values)
  const stepNs = fc.oneof(fc.nat(3), fc.nat(maxStepNs))
  const step = fc.record({ stepNs, signal: fc.constantFrom(...SIGNALS), value })
  return fc
    .record({
      initial: fc.record({ select: value, pin1: value, pin9: value }),
      steps: fc.array(step, { maxLength: 30 }),
      restNs: fc.nat(5),
    })
    .map(({ initial, steps, restNs }) => {
      let nowNs = 0
      const changes = steps.map(({ stepNs, signal, value }) => ({ atNs: (nowNs += stepNs), signal, value }))
      return { module: 'port', signals: SIGNALS, initial, changes, endNs: nowNs + restNs }
    })
}

export const dump = dumpOf(['0', '1', 'x'], 1e6)

/** What a reader must find of one signal: its first value and what changes it. */
export function changesOf({ initial, changes }: TestDump, signal: Signal): VcdChange[] {
  const all = [
    { atNs: 0, signal, value: initial[signal] },
    ...changes.filter((change) => change.signal === signal),
  ]
  return all
    .filter(({ value }, k) => k === 0 || value !== all[k - 1]?.value)
    .map(({ atNs, value }) => ({ atNs, value }))
}
