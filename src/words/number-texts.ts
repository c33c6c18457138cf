import { texts } from './texts.ts'

const t = texts('numbers', {
  count: {
    n: {
      0: 'no',
      1: 'one',
      2: 'two',
      3: 'three',
      4: 'four',
      5: 'five',
      6: 'six',
      7: 'seven',
      8: 'eight',
      9: 'nine',
      10: 'ten',
      11: 'eleven',
      12: 'twelve',
      other: '{n}',
    },
  },
  ordinal: {
    'n:ordinal': {
      1: 'first',
      2: 'second',
      3: 'third',
      4: 'fourth',
      5: 'fifth',
      6: 'sixth',
      7: 'seventh',
      8: 'eighth',
      9: 'ninth',
      10: 'tenth',
      one: '{n}st',
      two: '{n}nd',
      few: '{n}rd',
      other: '{n}th',
    },
  },
})
/** @public for the type of a translation */
export { t as numberTexts }

/** A small number as a sentence says it: "two". */
export const numberWord = (n: number): string => t.count({ n })

/** "third", "21st". */
export const ordinalWord = (n: number): string => t.ordinal({ n })
