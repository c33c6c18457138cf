import { readFileSync, readdirSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { TitleEyes } from '../../src/bench/sees-now.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { ALL_INPUTS, maskOf } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbTitle } from './arbitrary-title.ts'
import { draws } from '../draws.ts'

const titles: readonly Title[] = readdirSync('static/demo/titles').map((name) => {
  const title = readTitle(readFileSync(`static/demo/titles/${name}`))
  if (!title.ok) throw new Error(title.error.message)
  return title.value
})
const named = (name: string): Title => {
  const title = titles.find((one) => one.name === name)
  if (!title) throw new Error(name)
  return title
}
const options = { adapter: REFERENCE_ADAPTER, marginNs: 0 }
const { 'six-button': six, 'three-button': three } = BUILT_IN_PROFILES

describe('what a title sees now', () => {
  it('Up and Down where a third low answers with the identification, and nothing of it with three buttons', () => {
    const burst = named('Copper Kite Rally')
    const phantom = maskOf(['up', 'down'])
    expect(
      new TitleEyes(six, burst, REFERENCE_ADAPTER)
        .sees(0)
        .every(({ inputs }) => (inputs & phantom) === phantom),
    ).toBe(true)
    expect(new TitleEyes(three, burst, REFERENCE_ADAPTER).sees(0).map(({ inputs }) => inputs)).toEqual([0])
  })

  it('six buttons where they are told, and the extra ones with them', () => {
    const moths = named('Nine Moths')
    const held = maskOf(['up', 'a', 'x', 'mode'])
    expect(new TitleEyes(six, moths, REFERENCE_ADAPTER).sees(held)).toEqual([
      expect.objectContaining({ inputs: held, sixButtons: true }),
    ])
  })

  it('in its last mode: an extra button that the menu does not sample is no misread there', () => {
    const [menu, play] = named('Nine Moths').modes
    if (!menu || !play) throw new Error('two modes were expected')
    const held = maskOf(['x'])
    const seenIn = (...modes: Title['modes']) =>
      new TitleEyes(six, { ...named('Nine Moths'), modes }, REFERENCE_ADAPTER).sees(held)
    expect(seenIn(menu, play).map(({ inputs, sixButtons }) => [inputs, sixButtons])).toEqual([[held, true]])
    expect(seenIn(play, menu).map(({ inputs, sixButtons }) => [inputs, sixButtons])).toEqual([[0, false]])
  })

  it('is what is held wherever the judge finds no timing that misreads, for all 4096 combinations', () => {
    let judged = 0
    for (const title of titles) {
      for (const profile of Object.values(BUILT_IN_PROFILES)) {
        if (judge(profile, title, options).verdict === 'misread') continue
        judged++
        const eyes = new TitleEyes(profile, title, REFERENCE_ADAPTER)
        for (let held = 0; held <= ALL_INPUTS; held++) {
          // A profile that lets opposite directions through is judged with them; these keep them apart.
          const apart = (held & 3) === 3 || (held & 12) === 12
          if (apart) continue
          const wrong = eyes.sees(held).filter(({ inputs, sampled }) => inputs !== (held & sampled))
          expect(wrong, `${profile.name}, ${title.name}, ${held}`).toEqual([])
        }
      }
    }
    expect(judged).toBeGreaterThan(4)
  })

  it('is what is held for any title that the judge finds clean with a built-in profile', () => {
    let judged = 0
    const arbHeld = fc
      .integer({ min: 0, max: ALL_INPUTS })
      .map((held) => held & ~((held & 3) === 3 ? 2 : 0) & ~((held & 12) === 12 ? 8 : 0))
    const profiles = Object.values(BUILT_IN_PROFILES)
    fc.assert(
      fc.property(fc.constantFrom(...profiles), arbTitle, arbHeld, (profile, title, held) => {
        if (judge(profile, title, options).verdict === 'misread') return
        judged++
        const pictures = new TitleEyes(profile, title, REFERENCE_ADAPTER).sees(held)
        expect(pictures.every(({ inputs, sampled }) => inputs === (held & sampled))).toBe(true)
      }),
      { numRuns: draws(1000) },
    )
    expect(judged).toBeGreaterThan(0)
  })
})
