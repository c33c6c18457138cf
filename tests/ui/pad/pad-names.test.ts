import { expect, it } from 'vitest'
import { shortPadName } from '../../../src/ui/pad/pad-names.ts'

it('leaves out what browsers put around a pad’s name', () => {
  expect(shortPadName('Loan pad (STANDARD GAMEPAD Vendor: 1209 Product: 0001)')).toBe('Loan pad')
  expect(shortPadName('1209-0001-Loan pad')).toBe('Loan pad')
  expect(shortPadName('Loan pad')).toBe('Loan pad')
  expect(shortPadName('')).toBe('a pad')
})
