import { expect, it } from 'vitest'
import { numbersWord } from '../../../src/words/hexadecimal.ts'
import { padNumbers, shortPadName } from '../../../src/ui/pad/pad-names.ts'

it('leaves out what browsers put around a pad’s name', () => {
  expect(shortPadName('Loan pad (STANDARD GAMEPAD Vendor: 1209 Product: 0001)')).toBe('Loan pad')
  expect(shortPadName('1209-0001-Loan pad')).toBe('Loan pad')
  expect(shortPadName('Loan pad')).toBe('Loan pad')
  expect(shortPadName('')).toBe('a pad')
})

it('reads vendor and product out of it, in both shapes that browsers write', () => {
  const numbers = { vendorId: 0x1209, productId: 1 }
  expect(padNumbers('Loan pad (STANDARD GAMEPAD Vendor: 1209 Product: 0001)')).toEqual(numbers)
  expect(padNumbers('Loan pad (Vendor: 1209 Product: 0001)')).toEqual(numbers)
  expect(padNumbers('1209-0001-Loan pad')).toEqual(numbers)
  expect(padNumbers('1209-1-Loan pad')).toEqual(numbers)
  expect(padNumbers('Loan pad (Vendor: 12a9 Product: 0b1c)')).toEqual({ vendorId: 0x12a9, productId: 0xb1c })
  expect(padNumbers('Loan pad')).toEqual({ vendorId: 0, productId: 0 })
  expect(numbersWord({ vendorId: 0xabc, productId: 1 })).toBe('0ABC:0001')
})
