import { describe, expect, it } from 'vitest'
import { frameNs } from '../../src/port/clocks.ts'
import { readTitle } from '../../src/title/file.ts'
import { risesBefore } from '../../src/title/in-one-go.ts'
import type { Title } from '../../src/title/schema.ts'

/** Rises that can have come in one go before each read: without a rest of more than 250 µs. */

const PHASE_NS = 2_000
const cycles = (count: number): object[] =>
  Array.from({ length: 2 * count }, (_, k) => ({
    select: k % 2 === 0 ? 'low' : 'high',
    after: k === 0 ? { minNs: 0, maxNs: 0 } : { minNs: PHASE_NS, maxNs: PHASE_NS },
  }))
const sample = { sample: { 1: 'up' }, after: { minNs: 600, maxNs: 600 } }

interface Placed {
  readonly atNs: readonly number[]
  readonly steps: readonly object[]
  readonly every?: readonly [everyFrames: number, inFrame: number]
}

const framed = ({ atNs, steps, every: [everyFrames, inFrame] = [1, 0] }: Placed): object => ({
  starts: { kind: 'frame', offsetsNs: atNs, everyFrames, inFrame, late: { minNs: 0, maxNs: 0 } },
  steps: [...steps, sample],
})
const apart = (minNs: number, steps: readonly object[]): object => ({
  starts: { kind: 'interval', after: { minNs, maxNs: 2_000_000 } },
  steps: [...steps, sample],
})

function titleOf(reads: readonly object[], idle: 'high' | 'low' = 'high'): Title {
  const file = {
    ...{ format: 'ninepin-title', version: 3, name: 'Weir', notes: '', fragile: false, port: 'select-line' },
    ...{ standard: '525-line', clockPpm: 100, idle, rise: null, modes: [{ reads }] },
    ...{ sixButtons: { kind: 'never' }, takesOpposite: true },
  }
  const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  return read.ok ? read.value : expect.fail(JSON.stringify(read.error))
}

const before = (reads: readonly object[], idle?: 'high' | 'low'): readonly (readonly number[])[] =>
  risesBefore(titleOf(reads, idle), 0)

describe('rises that came in one go before a read', () => {
  it('are those of the read before it, after a rest of at most 250 µs', () => {
    const two = (pauseNs: number): readonly (readonly number[])[] =>
      before([
        framed({ atNs: [1_000], steps: cycles(2) }),
        framed({ atNs: [1_000 + 3 * PHASE_NS + pauseNs], steps: cycles(1) }),
      ])
    expect(two(250_000)).toEqual([[0], [0, 2]])
    expect(two(250_001)).toEqual([[0], [0]])
  })

  it('add up over several reads, and are all that the places of a read come to', () => {
    const places = [1_000, 101_000, 201_000, 301_000, 401_000, 9_000_000]
    expect(before([framed({ atNs: places, steps: cycles(1) })])).toEqual([[0, 1, 2, 3]])
    expect(before([framed({ atNs: places.slice(0, 3), steps: cycles(1) })])).toEqual([[0, 1, 2]])
    // After the extra buttons have come it does not matter how many more there were.
    expect(before([framed({ atNs: places, steps: cycles(2) })])).toEqual([[0, 2]])
  })

  it('can have come at the end of the frame before', () => {
    const endNs = frameNs('525-line') - 60_000
    const reads = (atNs: number): readonly (readonly number[])[] =>
      before([
        framed({ atNs: [1_000], steps: cycles(1) }),
        framed({ atNs: [Math.floor(atNs)], steps: cycles(2) }),
      ])
    expect(reads(endNs)).toEqual([[0, 2], [0]])
    expect(reads(endNs - 250_000)).toEqual([[0], [0]])
  })

  it('come only in frames that have both reads', () => {
    const second = { atNs: [101_000], steps: cycles(1) }
    const first = { atNs: [1_000], steps: cycles(2), every: [2, 0] } as const
    expect(before([framed(first), framed({ ...second, every: [2, 0] })])).toEqual([[0], [0, 2]])
    expect(before([framed(first), framed({ ...second, every: [2, 1] })])).toEqual([[0], [0]])
    expect(before([framed(first), framed(second)])).toEqual([[0], [0, 2]])
  })

  it('have no end where no frame ties reads that can come so soon', () => {
    expect(before([apart(240_000, cycles(1))])).toEqual([[0, 1, 2, 3]])
    expect(before([apart(250_001, cycles(1))])).toEqual([[0]])
    expect(before([apart(900_000, cycles(1)), apart(100_000, cycles(2))])).toEqual([[0], [0, 1]])
  })

  it('count each rise that is driven, and no write that changes nothing', () => {
    const steps = [{ select: 'high', after: { minNs: 0, maxNs: 0 } }, ...cycles(1)].map((step, k) =>
      k === 1 ? { ...step, after: { minNs: PHASE_NS, maxNs: PHASE_NS } } : step,
    )
    const high = [framed({ atNs: [1_000], steps }), framed({ atNs: [101_000], steps: cycles(1) })]
    expect(before(high)).toEqual([[0], [0, 1]])
    const low = [
      { select: 'high', after: { minNs: 0, maxNs: 0 } },
      { select: 'low', after: { minNs: PHASE_NS, maxNs: PHASE_NS } },
    ]
    expect(before([framed({ atNs: [1_000, 101_000], steps: low })], 'low')).toEqual([[0, 1]])
  })

  it('have the rest between edges before them, wherever samples and starts of reads lie', () => {
    const read = (opensNs: number): object[] => [
      { ...sample, after: { minNs: 500, maxNs: 500 } },
      { select: 'low', after: { minNs: opensNs - 500, maxNs: opensNs - 500 } },
      sample,
      { select: 'high', after: { minNs: 1_400, maxNs: 1_400 } },
      sample,
      { select: 'low', after: { minNs: PHASE_NS, maxNs: PHASE_NS + 500 }, since: 'edge' },
      { select: 'high', after: { minNs: PHASE_NS, maxNs: PHASE_NS }, since: 'edge' },
    ]
    // From its first edge 2 µs to the next one, up to 2.5 µs, and 2 µs.
    const two = (pauseNs: number): readonly (readonly number[])[] =>
      before([
        framed({ atNs: [1_000], steps: read(30_000) }),
        framed({ atNs: [1_000 + 30_000 + 6_500 + pauseNs - 70_000], steps: read(70_000) }),
      ])
    expect(two(250_000)).toEqual([[0], [0, 2]])
    expect(two(250_001)).toEqual([[0], [0]])
    // Where no frame ties it, from the last step of the one before it.
    expect(before([apart(180_000, read(70_000))])).toEqual([[0, 2]])
    expect(before([apart(180_001, read(70_000))])).toEqual([[0]])
  })
})
