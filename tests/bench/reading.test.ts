import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { reading } from '../../src/bench/reading.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readTitle } from '../../src/title/file.ts'

const profile = BUILT_IN_PROFILES['six-button']
const tide = readTitle(
  new Uint8Array(readFileSync(new URL('../../static/demo/titles/tidewatch.json', import.meta.url))),
)
if (!tide.ok) throw new Error('the demo is damaged')
const title = tide.value
const read = (marginNs: number) =>
  reading(profile, title, REFERENCE_ADAPTER, judge(profile, title, { adapter: REFERENCE_ADAPTER, marginNs }))

describe('the sample that makes a title tight', () => {
  test('is pointed at with what it has to spare: 210 ns after the edge, 178 ns for the reply and its cable', () => {
    expect(read(200).tight).toEqual({ sampleIndex: 1, spareNs: 32 })
    expect(read(200).samples[1]).toMatchObject({ cycle: 0, level: 'low' })
    expect(read(200).guilty).toBeUndefined()
  })

  test('is none where the margin is kept', () => {
    expect(read(32).tight).toBeUndefined()
  })
})
