/**
 * What the select-line pad port is made of: six data pins, twelve inputs, one select line.
 * Source of the facts: common practice, no source (see the port table in DEVELOPERS.md).
 */

/** The six data pins of the DE9 connector, in the order they are drawn and stored. */
export const PINS = [1, 2, 3, 4, 6, 9] as const
export type Pin = (typeof PINS)[number]

/** What a player can press, as the port names it. The order is the bit order of an {@link InputMask}. */
export const INPUTS = ['up', 'down', 'left', 'right', 'a', 'b', 'c', 'start', 'x', 'y', 'z', 'mode'] as const
export type Input = (typeof INPUTS)[number]

/** The level of a line. Low reads as pressed on a data pin. */
export type Level = 'low' | 'high'

/** A level that may not be known, as captures have it. */
export type KnownLevel = Level | 'unknown'

/** Twelve inputs as bits, bit `k` for `INPUTS[k]`; 1 is held. */
export type InputMask = number

/** Six pins as bits, bit `k` for `PINS[k]`; 1 is high. `0b111111` is nothing pressed. */
export type PinBits = number

export const ALL_INPUTS: InputMask = (1 << INPUTS.length) - 1
export const ALL_HIGH: PinBits = (1 << PINS.length) - 1

const bitOfInput = new Map<string, number>(INPUTS.map((input, k) => [input, 1 << k]))

/** The bit of one input in an {@link InputMask}. */
export const inputBit = (input: Input): InputMask => bitOfInput.get(input) as number

/** The inputs of a list as one mask. */
export const maskOf = (inputs: Iterable<Input>): InputMask => {
  let mask = 0
  for (const input of inputs) mask |= inputBit(input)
  return mask
}

/** The inputs in a mask, in canonical order. */
export const inputsIn = (mask: InputMask): Input[] => INPUTS.filter((_, k) => (mask >> k) & 1)

/** Whether a string names an input. */
export const isInput = (name: string): name is Input => bitOfInput.has(name)

/** The level of one pin in six pin bits. */
export const pinLevel = (bits: PinBits, pin: Pin): Level => ((bits >> PINS.indexOf(pin)) & 1 ? 'high' : 'low')
