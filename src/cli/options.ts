import { InvalidArgumentError, Option } from 'commander'
import { REFERENCE_ADAPTER } from '../bench/stated.ts'
import { CABLES } from '../port/cable.ts'
import { BANKS } from '../profile/schema.ts'
import type { Bank } from '../profile/schema.ts'
import { INPUTS, isInput, PINS } from '../port/pins.ts'
import type { Input, Pin } from '../port/pins.ts'
import { rowWords } from '../words/lists.ts'
import { t } from './fault-texts.ts'
import { t as helpTexts } from './help-texts.ts'

/** Readers of option values. What they refuse is said with the option's name, exit 2. */

export function wholeNs(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError(t.wholeNs)
  return Number(text)
}

/** `MIN..MAX` in ns. */
export function rangeNs(text: string): { minNs: number; maxNs: number } {
  const match = /^(\d{1,9})\.\.(\d{1,9})$/.exec(text)
  const [minNs, maxNs] = [Number(match?.[1]), Number(match?.[2])]
  if (match === null || minNs > maxNs) {
    throw new InvalidArgumentError(t.rangeNs)
  }
  return { minNs, maxNs }
}

/** What joins adapter and console, for every command that judges or plays a title. */
export const cableOption = (): Option =>
  new Option('--cable <which>', helpTexts.cable).choices(CABLES).default(REFERENCE_ADAPTER.cable)

/** `up,a,start`: port inputs in the order in which they are pressed. */
export function inputList(text: string): Input[] {
  if (text.trim() === '') return []
  return text.split(',').map((name) => {
    const input = name.trim().toLowerCase()
    if (!isInput(input))
      throw new InvalidArgumentError(t.noInput({ name: `"${name.trim()}"`, inputs: INPUTS.join(' ') }))
    return input
  })
}

/** `1=D0,2=D1`: which line of a capture is the data line of which pin. */
export function pinNames(text: string): ReadonlyMap<Pin, string> {
  const names = new Map<Pin, string>()
  for (const part of text.split(',')) {
    const [number = '', ...rest] = part.split('=')
    const pin = PINS.find((one) => String(one) === number.trim())
    const name = rest.join('=').trim()
    if (pin === undefined || name === '' || names.has(pin))
      throw new InvalidArgumentError(t.pinNames({ pins: rowWords(PINS.map(String)) }))
    names.set(pin, name)
  }
  return names
}

export function bankNumber(text: string): Bank {
  const bank = BANKS.find((number) => String(number) === text)
  if (bank === undefined) throw new InvalidArgumentError(t.banks({ banks: rowWords(BANKS.map(String)) }))
  return bank
}

export function fixNumber(text: string): number {
  if (!/^[1-9]\d{0,3}$/.test(text)) throw new InvalidArgumentError(t.fixNumber)
  return Number(text)
}

/** A pad, as the list of those that were met counts them. */
export function padNumber(text: string): number {
  if (!/^[1-8]$/.test(text)) throw new InvalidArgumentError(t.padNumber)
  return Number(text)
}

/** A layout of a pad; every further one is added to those before it. */
export const padOption = () =>
  new Option('--pad <layout.json>', helpTexts.padLayout)
    .argParser((path: string, before: readonly string[]) => [...before, path])
    .default([], helpTexts.none)
