import { expect, test } from 'vitest'
import { sourceCounts } from '../../src/title/source-counts.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { shortTitle } from '../bench/short-titles.ts'
import { newTitle } from '../../src/ui/titles/new-title.ts'

test('counts every figure of a title once, as its file has it', () => {
  // Four of the title, the drive and the belief; the offset and the jitter; two edges and two samples with what they are taken for.
  expect(sourceCounts(newTitle('Gull'))).toEqual({ seen: 0, asSaid: 14 })
})

test('what was seen in a capture is no hearsay', () => {
  const short = shortTitle(newTitle('Gull'))
  const measured = { kind: 'measured', seen: 600, of: 600 } as const
  const title = titleOfShort({
    ...short,
    sources: { ...short.sources, edgeSpacingNs: measured, readOffsetsNs: measured },
  })
  expect(sourceCounts(title)).toEqual({ seen: 3, asSaid: 11 })
})
