/** The firmware did what the chip cannot do, or what this model does not know. Never a thing to catch and go on from. */
export class ChipTrap extends Error {
  override readonly name = 'ChipTrap'

  constructor(
    message: string,
    /** Where the processor was, if it was the one. */
    readonly pc?: number,
  ) {
    super(pc === undefined ? message : `${message} (at ${hex(pc)})`)
  }
}

/** A number as the data sheet writes it. */
export const hex = (value: number): string => `0x${(value >>> 0).toString(16).padStart(8, '0')}`
