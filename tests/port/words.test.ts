import fc from 'fast-check'
import { afterEach, describe, expect, it } from 'vitest'
import { cableTexts } from '../../src/port/cable-texts.ts'
import { CABLES } from '../../src/port/cable.ts'
import { CELLS } from '../../src/port/chart.ts'
import { cellWord, inputList, inputTexts, inputWord } from '../../src/port/input-texts.ts'
import { INPUTS } from '../../src/port/pins.ts'
import { setLanguage } from '../../src/words/texts.ts'

afterEach(() => setLanguage(null))

describe('words for what a cell carries', () => {
  it('are what stands on the buttons, levels in small letters (common practice, no source)', () => {
    const printed = 'Up Down Left Right A B C Start X Y Z Mode'.split(' ')
    expect(INPUTS.map(inputWord).toSorted()).toEqual(printed.toSorted())
    // What is printed on a button is what files call it, but for the capital.
    for (const input of INPUTS) expect(inputWord(input).toLowerCase()).toBe(input)
    for (const cell of CELLS) expect(cellWord(cell) === cell).toBe(cell === 'low' || cell === 'high')
  })

  it('stand in a list in the order in which they are given, the last after "and"', () => {
    fc.assert(
      fc.property(fc.subarray([...INPUTS], { minLength: 1 }), (inputs) => {
        expect(inputList(inputs).split(/, | and /)).toEqual(inputs.map(inputWord))
        expect(inputList(inputs).includes(' and ')).toBe(inputs.length > 1)
      }),
    )
    expect(inputList([])).toBe('')
  })
})

it('words for cables tell one from the other, and how long the long one is', () => {
  const words = CABLES.map((cable) => cableTexts[cable])
  expect(new Set(words).size).toBe(CABLES.length)
  expect(words).not.toContain('')
  expect(cableTexts.long).toContain('1.5 m')
})

it('another language finds these words by the ids that its file goes by', () => {
  setLanguage({ code: 'nl', catalogues: { inputs: { up: 'Omhoog' }, cables: { unknown: 'onbekend' } } })
  expect([inputTexts.up, cableTexts.unknown]).toEqual(['Omhoog', 'onbekend'])
})
