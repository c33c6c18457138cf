import { describe, expect, it } from 'vitest'
import { PAD_OUTCOMES } from '../../src/adapter/constants.ts'
import { outcomeTexts, viaTexts } from '../../src/adapter/pad-history-texts.ts'
import {
  descriptorText,
  descriptorWords,
  readsWords,
  risesWord,
  secondsWord,
  titleWords,
} from '../../src/adapter/pad-history-words.ts'
import { met, seen } from './last-activity.ts'

describe('the pad history in words', () => {
  it('the reads, and what their rises say of the title', () => {
    expect(readsWords(seen({}))).toBe('The last 3: 4 rising edges each, 16 to 17 ms apart.')
    expect(readsWords(seen({ reads: [{ atMs: 5, rises: 1 }] }))).toBe('One read: 1 rising edge.')
    expect(
      readsWords(
        seen({
          reads: [
            { atMs: 5, rises: 1 },
            { atMs: 22, rises: 3 },
          ],
        }),
      ),
    ).toBe('The last 2: 1 to 3 rising edges each, 17 ms apart.')
    expect(readsWords(seen({ readCount: 0, reads: [] }))).toContain('has not read')
    // Identification stands at the second rise, the extra buttons at the third (DEVELOPERS.md, "What is true on the wire").
    expect(titleWords(seen({ mostRises: 2 }))).toContain('three buttons')
    expect(titleWords(seen({ mostRises: 3 }))).toContain('six-button title')
    expect(titleWords(seen({ mostRises: 4 }))).toContain('six-button title')
    expect(titleWords(seen({ mostRises: 5 }))).toContain('more than once')
    expect(titleWords(seen({ readCount: 0, mostRises: 0 }))).toBe(null)
  })

  it('numbers and descriptors', () => {
    expect(descriptorWords({ ...met, descriptorBytes: 90 })).toBe('90 bytes of report descriptor')
    expect(descriptorWords({ ...met, descriptorBytes: 2048 })).toContain('or more')
    expect(descriptorWords({ ...met, descriptorBytes: 0 })).toBe('no report descriptor kept')
    expect(descriptorText(Uint8Array.from({ length: 17 }, (_, k) => k))).toBe(
      '00 01 02 03 04 05 06 07 08 09 0A 0B 0C 0D 0E 0F\n10\n',
    )
  })

  it('every outcome is a sentence, and what is not known is said to be so', () => {
    for (const outcome of [...PAD_OUTCOMES, 'unlisted'] as const)
      expect(outcomeTexts[outcome]).toMatch(/^[A-Z].*\.$/)
    expect(outcomeTexts.unlisted).toContain('this version of Ninepin does not know')
    expect(viaTexts.unlisted).toContain('this version of Ninepin does not know')
  })

  it('rises and seconds', () => {
    expect([0, 1, 2].map(risesWord)).toEqual(['0 rising edges', '1 rising edge', '2 rising edges'])
    expect([0, 250, 12_700].map(secondsWord)).toEqual(['0.000 s', '0.250 s', '12.700 s'])
  })
})
