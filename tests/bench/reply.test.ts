import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { replyTo } from '../../src/bench/reply.ts'
import type { ReplySelect, ReplyWire } from '../../src/bench/reply.ts'
import { rateInReads } from '../../src/bench/repeat/seen.ts'
import { INPUTS, PINS } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { OPPOSITE_POLICIES } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { VcdValue } from '../../src/title/vcd/capture.ts'
import { readVcd } from '../title/vcd/read-vcd.ts'
import { writeVcd } from '../../src/title/vcd/write.ts'
import type { Dump, WireValue } from '../../src/title/vcd/write.ts'
import { arbChart, arbGapNs } from '../arbitraries.ts'
import type { ListedCapture, VcdChange } from '../title/vcd/arbitrary.ts'
import { captureOf, listed } from '../title/vcd/arbitrary.ts'
import { draws, often } from '../draws.ts'

const six = BUILT_IN_PROFILES['six-button']
const IDLE_NS = six.idleResetNs

const capture = (changes: readonly (readonly [number, VcdValue])[], endNs: number): ListedCapture => ({
  signalPath: 'select',
  changes: changes.map(([atNs, value]) => ({ atNs, value })),
  startNs: 0,
  endNs,
})

/** Every change as it is, however short the level before it: what a reply makes of a line is asked here, not what counts as one. */
const lineOf = (from: ListedCapture): ReplySelect => {
  const { timesNs, values, endNs } = captureOf(from)
  return { timesNs, levels: values, endNs }
}

/** The dump with its changes in hand. */
type Told = Omit<Dump<ReplyWire>, 'changes'> & {
  readonly changes: { atNs: number; signal: ReplyWire; value: WireValue }[]
}
const told = (profile: Profile, held: readonly Input[], from: ListedCapture): Told => {
  const dump = replyTo(profile, held, lineOf(from))
  return { ...dump, changes: [...dump.changes] }
}

/** What a wire shows at a time, once all that happens in that nanosecond has happened. */
const shown = (dump: Told, wire: ReplyWire, atNs: number): string =>
  dump.changes.reduce<string>(
    (value, change) => (change.signal === wire && change.atNs <= atNs ? change.value : value),
    dump.initial[wire],
  )

/** Pins 1 2 3 4 6 9 as six characters. */
const pinsAt = (dump: Told, atNs: number): string =>
  PINS.map((pin) => shown(dump, `pin${pin}`, atNs)).join('')

/** A select line that moves at each of these times, from this level on. */
const moving = (from: '0' | '1', times: readonly number[]): [number, VcdValue][] =>
  [0, ...times].map((atNs, k) => [atNs, (k % 2 === 0) === (from === '1') ? '1' : '0'])

describe('the reply to a captured select line', () => {
  it('is unknown throughout where nothing is known', () => {
    const dump = told(six, ['up'], capture([], 5_000))
    expect(dump).toMatchObject({ endNs: 5_000, changes: [] })
    expect(Object.values(dump.initial)).toEqual(['x', 'x', 'x', 'x', 'x', 'x', 'x'])
    expect(writeVcd(dump)).toMatch(/#5000\n$/)
    expect(writeVcd(told(six, [], capture([], 0)))).toMatch(/\$end\n$/)
  })

  it('takes the first known level for no edge, at time 0 or later, from x or from nothing', () => {
    for (const opening of [
      [[0, '1']],
      [[700, '1']],
      [
        [0, 'x'],
        [700, '1'],
      ],
      [
        [0, 'x'],
        [0, '1'],
      ],
    ] as const) {
      const dump = told(
        six,
        ['b'],
        capture([...opening, [1_000, '0'], [2_000, '1'], [3_000, '0'], [4_000, '1'], [5_000, '0']], 9_000),
      )
      // From rest high the third fall meets the identification (common practice, no source).
      expect(pinsAt(dump, 999)).toBe('111101')
      expect(pinsAt(dump, 3_000)).toBe('110011')
      expect(pinsAt(dump, 5_000)).toBe('000011')
      if (opening[0][0] === 700) expect(pinsAt(dump, 699)).toBe('xxxxxx')
    }
  })

  it('reads z as high: a line that nobody drives is pulled up', () => {
    const driven = moving('1', [1_000, 2_000, 3_000, 4_000, 5_000])
    const released = driven.map(([atNs, value]) => [atNs, value === '1' ? 'z' : '0'] as [number, VcdValue])
    expect(told(six, ['a'], capture(released, 6_000))).toEqual(told(six, ['a'], capture(driven, 6_000)))
    // Driven high after it was let go: no edge.
    const both = told(
      six,
      [],
      capture(
        [
          [0, '0'],
          [1_000, 'z'],
          [1_500, '1'],
          [2_000, 'z'],
          [3_000, '0'],
          [4_000, '1'],
          [5_000, '0'],
        ],
        6_000,
      ),
    )
    expect(shown(both, 'select', 1_700)).toBe('1')
    expect(pinsAt(both, 3_000)).toBe('110011')
    expect(pinsAt(both, 5_000)).toBe('000011')
  })

  it('counts a repeat in ms from time 0 on', () => {
    const profile: Profile = { ...six, repeat: { a: { kind: 'time', pressedMs: 2, releasedMs: 1 } } }
    const dump = told(
      profile,
      ['a', 'up'],
      capture(
        [
          [0, '0'],
          [4_200_000, '1'],
          [4_300_000, '0'],
        ],
        7_000_000,
      ),
    )
    // A is on pin 6 while select is low; Up is held throughout.
    const at = (ns: number) => pinsAt(dump, ns)
    expect([0, 1_999_999, 3_000_000, 4_999_999, 6_000_000].map(at)).toEqual(Array(5).fill('010001'))
    expect([2_000_000, 2_999_999, 5_000_000, 5_999_999].map(at)).toEqual(Array(4).fill('010011'))
    expect(at(4_250_000)).toBe('011111')
  })

  it('gives x for x, and no rise into it or out of it', () => {
    const dump = told(
      six,
      [],
      capture(
        [
          [0, '0'],
          [1_000, 'x'],
          [2_000, '1'],
          [3_000, '0'],
          [4_000, '1'],
          [5_000, '0'],
          [6_000, '1'],
          [7_000, '0'],
        ],
        9_000,
      ),
    )
    expect(pinsAt(dump, 1_000)).toBe('xxxxxx')
    expect(shown(dump, 'select', 1_999)).toBe('x')
    expect(pinsAt(dump, 2_000)).toBe('111111')
    expect(pinsAt(dump, 5_000)).toBe('110011')
    expect(pinsAt(dump, 7_000)).toBe('000011')
  })

  it('counts each rise of several changes in one nanosecond and shows where they end', () => {
    const dump = told(
      six,
      [],
      capture(
        [
          [0, '0'],
          [1_000, '1'],
          [1_000, '0'],
          [1_000, '1'],
          [1_000, '0'],
        ],
        2_000,
      ),
    )
    expect(shown(dump, 'select', 1_000)).toBe('0')
    expect(pinsAt(dump, 999)).toBe('110011')
    expect(pinsAt(dump, 1_000)).toBe('000011')
    const atZero = told(
      six,
      [],
      capture(
        [
          [0, '0'],
          [0, '1'],
          [0, '0'],
          [0, '1'],
          [0, '0'],
        ],
        10,
      ),
    )
    expect(pinsAt(atZero, 0)).toBe('000011')
    expect(atZero.initial.select).toBe('0')
  })

  it('resets exactly at the last stamp, and not one past it', () => {
    const stamps = moving('1', [1_000, 2_000, 3_000, 4_000, 5_000])
    const resetNs = 4_000 + IDLE_NS
    const at = told(six, [], capture(stamps, resetNs))
    expect(pinsAt(at, resetNs - 1)).toBe('000011')
    expect(pinsAt(at, resetNs)).toBe('110011')
    const before = told(six, [], capture(stamps, resetNs - 1))
    expect(pinsAt(before, resetNs - 1)).toBe('000011')
    expect(before.changes.every(({ atNs }) => atNs < resetNs)).toBe(true)
  })

  it('lets a rise at the very instant of the reset come after it', () => {
    const resetNs = 2_000 + IDLE_NS
    const rest = [resetNs, resetNs + 1_000, resetNs + 2_000, resetNs + 3_000]
    const dump = told(six, [], capture(moving('1', [1_000, 2_000, 3_000, ...rest]), resetNs + 9_000))
    // The rise of that instant is the first after the reset, so the second fall meets the identification.
    expect(pinsAt(dump, resetNs + 1_000)).toBe('110011')
    expect(pinsAt(dump, resetNs + 3_000)).toBe('000011')
    const oneEarlier = [resetNs - 1, ...rest.slice(1)]
    const counted = told(six, [], capture(moving('1', [1_000, 2_000, 3_000, ...oneEarlier]), resetNs + 9_000))
    expect(pinsAt(counted, resetNs + 1_000)).toBe('000011')
  })

  it('presses what is held before time 0 in the order listed, then the opposite-direction policy applies', () => {
    const high = (policy: (typeof OPPOSITE_POLICIES)[number], held: readonly Input[]) =>
      pinsAt(
        told({ ...six, opposite: { vertical: policy, horizontal: policy } }, held, capture([[0, '1']], 1)),
        1,
      )
    expect(high('as-held', ['down', 'up', 'left', 'right'])).toBe('000011')
    expect(high('neutral', ['down', 'up', 'left', 'right'])).toBe('111111')
    expect(high('first', ['down', 'up', 'right', 'left'])).toBe('101011')
    expect(high('last', ['down', 'up', 'right', 'left'])).toBe('010111')
    expect(high('last', ['up', 'down', 'left', 'right'])).toBe('101011')
    expect(high('first', ['up', 'b', 'up', 'down'])).toBe('011101')
  })

  it('begins at 0 even where time 0 of the file comes late, and takes it for no power-on', () => {
    const firstOnly: Profile = {
      ...six,
      powerOn: [{ held: ['centre-left'], then: { kind: 'first-cycle-only' } }],
    }
    const late = capture(
      [
        [5_000_000, '0'],
        [5_001_000, '1'],
        [5_002_000, '0'],
        [5_003_000, '1'],
        [5_004_000, '0'],
      ],
      5_005_000,
    )
    const dump = told(firstOnly, ['mode'], late)
    expect(pinsAt(dump, 4_999_999)).toBe('xxxxxx')
    expect(pinsAt(dump, 5_004_000)).toBe('000011')
  })
})

describe('against a count made afresh for every instant', () => {
  /** What stands on a pin at `atNs`, told from the whole capture each time. */
  function naive(
    profile: Profile,
    held: readonly Input[],
    { changes }: ListedCapture,
    atNs: number,
  ): string[] {
    const high = (value: VcdValue) => value === '1' || value === 'z'
    const opening = changes[0]?.atNs === 0 ? (changes[0] as VcdChange).value : 'x'
    const seenNs = atNs - profile.delayNs
    let value: VcdValue = opening
    let rises = 0
    let reads = 0
    let lastNs: number | null = null
    const pass = (nowNs: number) => {
      if (lastNs === null || nowNs < lastNs + profile.idleResetNs) return
      lastNs = null
      rises = 0
      reads++
    }
    for (const change of changes) {
      if (change.atNs > seenNs) break
      pass(change.atNs)
      if (value === '0' && high(change.value)) {
        rises++
        lastNs = change.atNs
      }
      value = change.value
    }
    pass(seenNs)
    if (value === 'x') return PINS.map(() => 'x')

    const order = held.filter((input, k) => held.indexOf(input) === k)
    const dropped = new Set<Input>()
    for (const [axis, pair] of [
      ['vertical', ['up', 'down']],
      ['horizontal', ['left', 'right']],
    ] as const) {
      const [first, second] = order.filter((input) => (pair as readonly Input[]).includes(input))
      if (first === undefined || second === undefined) continue
      const policy = profile.opposite[axis]
      if (policy === 'neutral' || policy === 'first') dropped.add(second)
      if (policy === 'neutral' || policy === 'last') dropped.add(first)
    }
    const pressed = (input: Input): boolean => {
      const repeat = rateInReads(profile, input)
      const on = !repeat || reads % (repeat.pressedReads + repeat.releasedReads) < repeat.pressedReads
      return order.includes(input) && !dropped.has(input) && on
    }
    const { cycles, after } = profile.chart
    const cycle =
      after.kind === 'stay' && rises >= cycles.length ? after.reply : cycles[rises % cycles.length]
    const phase = (cycle as (typeof cycles)[number])[high(value) ? 'high' : 'low']
    return PINS.map((pin) => {
      const cell = phase[pin]
      return cell === 'low' || (cell !== 'high' && pressed(cell)) ? '0' : '1'
    })
  }

  const arbReplying: fc.Arbitrary<Profile> = fc
    .record({
      chart: fc.oneof(fc.constant(six.chart), arbChart),
      idleResetNs: fc.constantFrom(10_000, 12_345),
      delayNs: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 2_000 })),
      vertical: fc.constantFrom(...OPPOSITE_POLICIES),
      horizontal: fc.constantFrom(...OPPOSITE_POLICIES),
      repeat: fc.dictionary(
        fc.constantFrom(...INPUTS),
        fc.record({
          kind: fc.constant('reads' as const),
          pressedReads: fc.integer({ min: 1, max: 2 }),
          releasedReads: fc.integer({ min: 1, max: 2 }),
        }),
      ),
    })
    .map(({ vertical, horizontal, ...rest }) => ({ ...six, ...rest, opposite: { vertical, horizontal } }))

  const arbCapture = (idleResetNs: number): fc.Arbitrary<ListedCapture> =>
    fc
      .record({
        firstNs: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 3_000 })),
        steps: fc.array(
          fc.record({
            gapNs: arbGapNs(idleResetNs),
            value: fc.oneof(
              { weight: 4, arbitrary: fc.constantFrom<VcdValue>('0', '1') },
              { weight: 1, arbitrary: fc.constantFrom<VcdValue>('x', 'z') },
            ),
          }),
          { maxLength: 24 },
        ),
        tailNs: fc.oneof(fc.constant(0), arbGapNs(idleResetNs)),
      })
      .map(({ firstNs, steps, tailNs }) => {
        let nowNs = firstNs
        const changes = steps
          .map(({ gapNs, value }, k) => ({ atNs: k === 0 ? firstNs : (nowNs += gapNs), value }))
          .filter(({ value }, k, all) => value !== all[k - 1]?.value)
        return { signalPath: 'select', changes, startNs: 0, endNs: nowNs + tailNs }
      })

  const arbCase = arbReplying.chain((profile) =>
    fc.record({
      profile: fc.constant(profile),
      held: fc.array(fc.constantFrom(...INPUTS), { maxLength: 8 }),
      from: arbCapture(profile.idleResetNs),
    }),
  )

  /** Every instant at which something may happen, and its neighbours. */
  const instants = ({ idleResetNs, delayNs }: Profile, { changes, endNs }: ListedCapture): number[] => {
    const near = changes
      .flatMap(({ atNs }) => [atNs, atNs + idleResetNs])
      .flatMap((atNs) => [atNs, atNs + delayNs])
    const all = [0, endNs, ...near].flatMap((atNs) => [atNs - 1, atNs, atNs + 1])
    return [...new Set(all)].filter((atNs) => atNs >= 0 && atNs <= endNs)
  }

  it('shows the same pins at every instant', () => {
    let resets = 0
    fc.assert(
      fc.property(arbCase, ({ profile, held, from }) => {
        const dump = told(profile, held, from)
        for (const atNs of instants(profile, from)) {
          expect(pinsAt(dump, atNs), `at ${atNs} ns`).toBe(naive(profile, held, from, atNs).join(''))
          const last = from.changes.filter((change) => change.atNs <= atNs).pop()?.value ?? 'x'
          expect(shown(dump, 'select', atNs)).toBe(last === 'z' ? '1' : last)
        }
        expect(dump.endNs).toBe(from.endNs)
        const times = dump.changes.map(({ atNs }) => atNs)
        expect(times).toEqual([...times].sort((p, q) => p - q))
        expect(times.every((atNs) => atNs >= 0 && atNs <= from.endNs)).toBe(true)
        if (from.changes.some(({ atNs }) => from.endNs > atNs + profile.idleResetNs)) resets++
      }),
      { numRuns: draws(1_000) },
    )
    expect(resets).toBeGreaterThan(often(100))
  })

  it('as a file, read back wire by wire, it is the same and ends at the last stamp', () => {
    fc.assert(
      fc.property(arbCase, ({ profile, held, from }) => {
        const bytes = new TextEncoder().encode(writeVcd(replyTo(profile, held, lineOf(from))))
        PINS.forEach((pin, k) => {
          const wire = readVcd(bytes, { signal: `port.pin${pin}` })
          if (!wire.ok) throw new Error(wire.error.message)
          const { changes, endNs } = listed(wire.value)
          expect(endNs).toBe(from.endNs)
          for (const atNs of instants(profile, from)) {
            const stands = changes.filter((change) => change.atNs <= atNs).pop()?.value
            expect(stands, `pin ${pin} at ${atNs} ns`).toBe(naive(profile, held, from, atNs)[k])
          }
        })
      }),
      { numRuns: draws(150) },
    )
  })
})
