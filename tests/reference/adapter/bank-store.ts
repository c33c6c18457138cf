import { BANK_NUMBERS } from '../../../src/adapter/constants.ts'

/**
 * Where a device keeps its images. Banks count from 0. What is stored is whole: a commit either happened or did not,
 * whenever the power goes.
 */
export interface BankStore {
  /** The image of a bank, `null` when it is empty. */
  read(bank: number): Uint8Array | null
  /** Replaces the image of a bank; false when the memory refused, and then the old image is still there. */
  commit(bank: number, image: Uint8Array): boolean
  readonly active: number | null
  setActive(bank: number): boolean
  /** What is armed in the trial slot, `null` when it is empty. */
  readonly trial: Uint8Array | null
  /** Arms an image, or empties the slot; false when the memory refused. */
  setTrial(image: Uint8Array | null): boolean
}

/** Four banks that are forgotten with the page. */
export class MemoryBankStore implements BankStore {
  readonly #banks: (Uint8Array | null)[] = BANK_NUMBERS.map(() => null)
  #active: number | null = null
  #trial: Uint8Array | null = null

  get active(): number | null {
    return this.#active
  }

  read(bank: number): Uint8Array | null {
    return this.#banks[bank] ?? null
  }

  commit(bank: number, image: Uint8Array): boolean {
    this.#banks[bank] = image.slice()
    return true
  }

  setActive(bank: number): boolean {
    this.#active = bank
    return true
  }

  get trial(): Uint8Array | null {
    return this.#trial
  }

  setTrial(image: Uint8Array | null): boolean {
    this.#trial = image?.slice() ?? null
    return true
  }
}
