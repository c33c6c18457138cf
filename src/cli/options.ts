import { InvalidArgumentError } from 'commander'
import { BANKS } from '../profile/schema.ts'
import type { Bank } from '../profile/schema.ts'
import { INPUTS, isInput } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'

/** Readers of option values. What they refuse is said beside the option's name, exit 2. */

export function wholeNs(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError('A whole number of ns is needed, such as 200.')
  return Number(text)
}

/** `MIN..MAX` in ns. */
export function rangeNs(text: string): { minNs: number; maxNs: number } {
  const match = /^(\d{1,9})\.\.(\d{1,9})$/.exec(text)
  const [minNs, maxNs] = [Number(match?.[1]), Number(match?.[2])]
  if (match === null || minNs > maxNs) {
    throw new InvalidArgumentError('A range in ns is needed, the least first, such as 32..100.')
  }
  return { minNs, maxNs }
}

/** `up,a,start`: port inputs in the order in which they are pressed. */
export function inputList(text: string): Input[] {
  if (text.trim() === '') return []
  return text.split(',').map((name) => {
    const input = name.trim().toLowerCase()
    if (!isInput(input))
      throw new InvalidArgumentError(`"${name.trim()}" is not an input; the inputs are ${INPUTS.join(' ')}.`)
    return input
  })
}

export function bankNumber(text: string): Bank {
  const bank = BANKS.find((number) => String(number) === text)
  if (bank === undefined) throw new InvalidArgumentError(`The banks are ${BANKS.join(', ')}.`)
  return bank
}

export function fixNumber(text: string): number {
  if (!/^[1-9]\d{0,3}$/.test(text))
    throw new InvalidArgumentError('The number of a fix is needed, such as 1.')
  return Number(text)
}

/** A pad, as the list of those that were met counts them. */
export function padNumber(text: string): number {
  if (!/^[1-8]$/.test(text)) throw new InvalidArgumentError('The number of a pad is needed, 1 to 8.')
  return Number(text)
}
