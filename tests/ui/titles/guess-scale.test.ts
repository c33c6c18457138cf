import { describe, expect, it } from 'vitest'
import {
  drawnStretches,
  percentAt,
  sliderEnds,
  stepNs,
  verdictAt,
} from '../../../src/ui/titles/guess-scale.ts'

const along = {
  leastNs: 3,
  mostNs: 3_959,
  stretches: [
    { fromNs: 3, untilNs: 178, verdict: 'misread' },
    { fromNs: 179, untilNs: 377, verdict: 'tight' },
    { fromNs: 378, untilNs: 3_959, verdict: 'clean' },
  ],
} as const

describe('the scale of a guess', () => {
  it('moves in round figures, some hundred from end to end', () => {
    expect(stepNs(along)).toBe(50)
    expect(sliderEnds(along)).toEqual({ min: 50, max: 3_950, step: 50 })
    expect(stepNs({ ...along, leastNs: 0, mostNs: 0 })).toBe(1)
    expect(stepNs({ ...along, leastNs: 0, mostNs: 16_000_000 })).toBe(200_000)
    // What is shorter than a step has one place.
    expect(sliderEnds({ ...along, leastNs: 70, mostNs: 70 })).toMatchObject({ min: 70, max: 70 })
  })

  it('is drawn from end to end without a gap', () => {
    const drawn = drawnStretches(along)
    expect(drawn.map(({ verdict }) => verdict)).toEqual(['misread', 'tight', 'clean'])
    drawn.forEach(({ fromPercent }, k) => {
      const before = drawn[k - 1]
      expect(fromPercent).toBeCloseTo(before ? before.fromPercent + before.widthPercent : 0, 9)
    })
    const last = drawn.at(-1)
    expect((last?.fromPercent ?? 0) + (last?.widthPercent ?? 0)).toBeCloseTo(100, 9)
    expect(percentAt({ min: 0, max: 0 }, 5)).toBe(0)
  })

  it('says the verdict at a time, and none where it was not judged', () => {
    expect([178, 179, 3_959].map((ns) => verdictAt(along, ns))).toEqual(['misread', 'tight', 'clean'])
    expect(verdictAt(along, 4_000)).toBeNull()
  })
})
