import { describe, expect, it } from 'vitest'
import type { Question } from '../../../src/bench/probe/suspects.ts'
import { INPUTS, inputBit, maskOf } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { probeNumber } from '../../../src/ui/probe/probe-number.ts'
import {
  INPUT_GROUPS,
  actsWords,
  answerWords,
  heldWords,
  holdWords,
  padWords,
  withInput,
} from '../../../src/ui/probe/question-words.ts'

const asked = (held: number, id = 'one'): Question => ({
  probe: {
    id,
    profile: {
      ...BUILT_IN_PROFILES['six-button'],
      mapping: {
        ...BUILT_IN_PROFILES['six-button'].mapping,
        up: ['dpad-up', 'stick-left-up'],
        c: ['face-east'],
      },
    },
  },
  mode: 0,
  held,
})

describe('a question', () => {
  it('says what to hold, and with which controls', () => {
    expect(holdWords(asked(0), null)).toBe('Hold nothing.')
    expect(holdWords(asked(maskOf(['up', 'c'])), null)).toBe('Hold Up and C.')
    expect(holdWords(asked(maskOf(['c'])), 'the menu')).toBe('In the menu, hold C.')
    expect(heldWords(asked(0), null)).toBe('Held nothing')
    expect(padWords(asked(0))).toBe('')
    expect(padWords(asked(maskOf(['up', 'c'])))).toBe('On the pad: D-pad up or Left stick up and Face east.')
  })

  it('has every input to tick, once', () => {
    expect(INPUT_GROUPS.flat().toSorted()).toEqual([...INPUTS].sort())
  })

  it('says what was answered', () => {
    expect(actsWords(0)).toBe('Nothing acts')
    expect(actsWords(maskOf(['a']))).toBe('A acts')
    expect(actsWords(maskOf(['up', 'a']))).toBe('Up and A act')
    expect(answerWords({ question: asked(0), acts: null })).toBe('not sure')
    expect(withInput(withInput(0, 'a', true), 'up', true)).toBe(maskOf(['up', 'a']))
    expect(withInput(maskOf(['up', 'a']), 'up', false)).toBe(inputBit('a'))
  })

  it('counts the probes in the order in which they went in', () => {
    const answers = ['one', 'two', 'one'].map((id) => ({ question: asked(0, id), acts: 0 }))
    expect(['one', 'two', 'three'].map((id) => probeNumber(answers, asked(0, id)))).toEqual([1, 2, 3])
    expect(probeNumber([], asked(0))).toBe(1)
  })
})
