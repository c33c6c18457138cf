import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  descriptorFileName,
  diagramFileName,
  documentFileName,
  fileStem,
  imageFileName,
  uf2FileName,
} from '../../src/shelf/file-names.ts'

describe('the name of a file that is handed out', () => {
  it('suits every file system', () => {
    expect(fileStem('Évening, set-up!')).toBe('evening-set-up')
    expect(fileStem('***')).toBe('unnamed')
    // Half a character has no place in a name.
    expect(fileStem('𠮷'.repeat(70))).toBe('𠮷'.repeat(60))
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (name) => {
        expect(fileStem(name)).toMatch(/^[\p{Letter}\p{Number}][\p{Letter}\p{Number}-]*$/u)
      }),
    )
  })
})

it.each([
  'CON',
  'con.',
  'Nul ',
  'aux.txt',
  'PRN',
  'COM1',
  'com¹',
  'LPT³',
  'lpt0',
  'COM²',
  'trailing. ',
  '..',
  'a/b\\c:d*e?f"g<h>i|j',
  'x\u202egnp.exe',
])('%s makes a file name that Windows takes', (name) => {
  const stem = fileStem(name)
  expect(stem).not.toMatch(/^(con|prn|aux|nul|com[\d¹²³]|lpt[\d¹²³])$/i)
  expect(stem).not.toMatch(/[. ]$/)
  // eslint-disable-next-line no-control-regex -- they are what Windows forbids
  expect(stem).not.toMatch(/[<>:"/\\|?*\u0000-\u001f\u202e]/)
})

it('says in its ending what a file holds, and in its name of what', () => {
  expect(documentFileName('layout', 'Loan pad')).toBe('loan-pad.layout.json')
  expect(imageFileName('Évening')).toBe('evening.n9p')
  expect(uf2FileName('Six buttons!', 2)).toBe('six-buttons-bank-2.uf2')
  expect(diagramFileName('Copper Kite Rally')).toBe('copper-kite-rally.vcd')
  expect(descriptorFileName({ vendorId: 0x1209, productId: 0xab })).toBe('pad-1209-00ab.hex')
})
