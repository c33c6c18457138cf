import { describe, expect, it } from 'vitest'
import { withoutRepeats } from '../../src/words/sentences.ts'

describe('texts that are read one after the other', () => {
  it('say a sentence once, where it comes first', () => {
    expect(withoutRepeats(['Reads five cycles. It misses Up.', 'Reads five cycles. It sees Z.'])).toEqual([
      'Reads five cycles. It misses Up.',
      'It sees Z.',
    ])
    expect(withoutRepeats(['It misses Up.', 'It misses Up.'])).toEqual(['It misses Up.', ''])
    expect(withoutRepeats([])).toEqual([])
  })

  it('are not cut within a figure', () => {
    const text = 'Samples 1.50 µs after the edge, and the reply can take 0.18 µs: 1.32 µs margin.'
    expect(withoutRepeats([text, 'Another.'])).toEqual([text, 'Another.'])
  })
})
