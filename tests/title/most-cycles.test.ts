import { describe, expect, it } from 'vitest'
import { frameNs } from '../../src/port/clocks.ts'
import { mostUnseenCycles } from '../../src/title/most-cycles.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'

/** Reads of one cycle, 3 µs long, at these places of the frame. */
function titleAt(
  offsetsNs: readonly number[],
  leftOver: object | undefined,
  lateNs = 0,
  [soonNs, opensNs]: readonly [number, number] = [0, 0],
): Title {
  const steps = [
    { select: 'low', after: { minNs: opensNs, maxNs: opensNs } },
    { select: 'high', after: { minNs: 3_000, maxNs: 3_000 } },
    { sample: { 1: 'up' }, after: { minNs: 600, maxNs: 600 } },
  ]
  const starts = { kind: 'frame', offsetsNs, late: { minNs: soonNs, maxNs: soonNs + lateNs } }
  const file = {
    ...{ format: 'ninepin-title', version: 3, name: 'Eel trap', notes: '', fragile: false },
    ...{ port: 'select-line', standard: '525-line', clockPpm: 100, idle: 'high', rise: null },
    modes: [{ reads: [{ starts, steps }] }],
    sixButtons: { kind: 'never' },
    takesOpposite: true,
    ...(leftOver && { leftOver }),
  }
  const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  return read.ok ? read.value : expect.fail(JSON.stringify(read.error))
}

const every = (sampledNs: number): object => ({ stretches: [], more: 0, sampledNs })
const most = (offsetsNs: readonly number[], sampledNs: number, lateNs = 0): number | null =>
  mostUnseenCycles(titleAt(offsetsNs, every(sampledNs), lateNs))

describe('cycles that a capture can have missed', () => {
  it('are none where its samples lie close', () => {
    expect(mostUnseenCycles(titleAt([1_000], undefined))).toBeNull()
    expect(mostUnseenCycles(titleAt([1_000], { stretches: [], more: 3 }))).toBeNull()
  })

  it('are as many as phases of 1 µs find room in a read, seen by up to a sample too short', () => {
    expect([1_500, 2_000, 2_001, 4_000, 9_000].map((ns) => most([1_000], ns))).toEqual([2, 3, 3, 4, 6])
  })

  it('count on from read to read up to a rest of 4 ms, from frame to frame too', () => {
    const endNs = frameNs('525-line') - 3_000_000
    expect(most([1_000, 2_000_000, 9_000_000], 1_500)).toBe(4)
    expect(most([1_000, 9_000_000, 11_000_000], 1_500)).toBe(4)
    expect(most([1_000, 9_000_000, endNs], 1_500)).toBe(4)
    expect(most([1_000, 3_900_000, 7_800_000, 11_700_000, 15_600_000], 1_500)).toBe(Infinity)
  })

  it('count on where a read that is late leaves a shorter rest', () => {
    expect(most([1_000, 5_000_000], 1_500, 900_000)).toBe(2)
    expect(most([1_000, 4_900_000], 1_500, 900_000)).toBe(4)
  })

  it('count on up to that rest to the ns, by what samples make of it', () => {
    // 3 µs of read, up to 900 µs late, seen by 1.5 µs too long.
    const rest = (ns: number): number | null =>
      mostUnseenCycles(titleAt([1_000, 1_000 + 3_000 + ns], every(1_500), 900_000, [700_000, 40_000]))
    expect(rest(4_000_000 + 900_000 + 1_500)).toBe(2)
    expect(rest(4_000_000 + 900_000 + 1_499)).toBe(4)
  })

  it('are without end where edges are left over', () => {
    const stretch = { startLevel: 'high', edgesNs: [0, 3_000], sinceRiseNs: null, seen: 1 }
    expect(mostUnseenCycles(titleAt([1_000], { stretches: [stretch], more: 0, sampledNs: 1_500 }))).toBe(
      Infinity,
    )
    expect(mostUnseenCycles(titleAt([1_000], { stretches: [], more: 1, sampledNs: 1_500 }))).toBe(Infinity)
  })
})
