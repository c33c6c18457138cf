import type { BankNumber } from '../../adapter/constants.ts'
import type { AdapterLink } from '../adapter/adapter-link.svelte.ts'
import type { LentBanks } from './lent-banks.svelte.ts'

/** Why an image was not written, before anything was changed. What goes wrong over the link is told by the link. */
export type Refusal =
  | { readonly kind: 'not-read'; readonly bank: BankNumber }
  | { readonly kind: 'not-kept'; readonly bank: BankNumber; readonly image: Uint8Array }

/** Where a probe image goes so that it answers at the next power-on. The sheet knows no other way into an adapter. */
export interface ProbePlace {
  /** Writes the image and makes it the one that answers next. Gives whether it does. */
  put(image: Uint8Array): Promise<boolean>
  /** Why the last image was not written; `null` where it was. */
  readonly refusal: Refusal | null
}

/** The trial slot: no bank is touched, and there is nothing to put back. */
export class TrialPlace implements ProbePlace {
  readonly #link: Pick<AdapterLink, 'armTrial'>
  readonly refusal = null

  constructor(link: Pick<AdapterLink, 'armTrial'>) {
    this.#link = link
  }

  async put(image: Uint8Array): Promise<boolean> {
    return (await this.#link.armTrial(image)) !== null
  }
}

/** A bank that the user chooses, where the firmware has no trial slot. */
export class ChosenBank implements ProbePlace {
  readonly #banks: LentBanks
  readonly #bank: () => BankNumber
  #saved: readonly Uint8Array[] = []
  refusal = $state.raw<Refusal | null>(null)

  constructor(banks: LentBanks, bank: () => BankNumber) {
    this.#banks = banks
    this.#bank = bank
  }

  /** The user has this image as a file. */
  isSaved(image: Uint8Array): void {
    this.#saved = [...this.#saved, image]
  }

  async put(image: Uint8Array): Promise<boolean> {
    this.refusal = null
    const bank = this.#bank()
    const done = await this.#banks.lend(bank, image, this.#saved)
    if (typeof done === 'boolean') return done
    this.refusal = done
    return false
  }
}
