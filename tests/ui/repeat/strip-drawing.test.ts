import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { PlayedFrame } from '../../../src/bench/repeat/play-repeat.ts'
import { stripDrawing, stripWords } from '../../../src/ui/repeat/strip-drawing.ts'

const frame = (signs: string): PlayedFrame => ({
  samples: [...signs].map((sign, k) => ({ atNs: k, read: 0, index: 0, pressed: sign === '#' })),
  reads: 1,
  resets: 0,
})
const arbFrames = fc
  .array(fc.string({ unit: fc.constantFrom('#', '.'), maxLength: 12 }), { minLength: 1, maxLength: 40 })
  .map((all) => all.map(frame))

describe('the strip of frames', () => {
  it('draws every sample once, in order of time, apart from the others and within its frame and the width', () => {
    fc.assert(
      fc.property(arbFrames, fc.integer({ min: 240, max: 1_000 }), (frames, width) => {
        const drawing = stripDrawing(frames, width)
        expect(drawing.frames.map(({ samples }) => samples.map(({ pressed }) => pressed))).toEqual(
          frames.map(({ samples }) => samples.map(({ pressed }) => pressed)),
        )
        drawing.frames.forEach(({ x, y, width: wide, samples }, k) => {
          expect(x + wide).toBeLessThanOrEqual(width)
          expect(y).toBeLessThan(drawing.height)
          const before = drawing.frames[k - 1]
          if (before !== undefined) expect(y > before.y || x >= before.x + before.width).toBe(true)
          samples.forEach((sample, at) => {
            expect(sample.x).toBeGreaterThanOrEqual(x)
            expect(sample.x + sample.width).toBeLessThanOrEqual(x + wide + 1e-9)
            const last = samples[at - 1]
            if (last !== undefined) expect(sample.x).toBeGreaterThan(last.x + last.width)
          })
        })
      }),
    )
  })

  it('numbers the first frame of each row, and rows are about equally long whole fours', () => {
    const { frames } = stripDrawing(
      Array.from({ length: 20 }, () => frame('#')),
      200,
    )
    const starts = frames.filter(({ x }) => x === 0)
    expect(starts.map(({ number }) => number)).toEqual(['1', '9', '17'])
    expect(frames[4]?.number).toBe('5')
    expect(frames[5]?.number).toBeNull()
    const even = stripDrawing(
      Array.from({ length: 32 }, () => frame('##')),
      640,
    )
    expect(even.frames.filter(({ x }) => x === 0).map(({ number }) => number)).toEqual(['1', '17'])
    const narrow = stripDrawing(
      Array.from({ length: 3 }, () => frame('############')),
      240,
    )
    expect(narrow.frames.map(({ x }) => x)).toEqual([0, 102, 0])
  })

  it('tells the runs in words', () => {
    expect(stripWords([frame('##'), frame('.#'), frame('')])).toBe(
      'The first 3 frames: 2 samples pressed, 1 released, 1 pressed.',
    )
    expect(stripWords([frame('.')])).toBe('The first frame: 1 sample released.')
    expect(stripWords([frame('')])).toBe('The first frame: no sample.')
    const long = stripWords(Array.from({ length: 40 }, (_, k) => frame(k % 2 ? '#' : '.')))
    expect(long).toMatch(/^The first 40 frames: 1 sample released, (1 \w+, ){23}and so on\.$/)
  })
})
