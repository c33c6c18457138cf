import type { BankNumber } from '../../adapter/constants.ts'

/** Where a probe image goes so that it answers at the next power-on. The sheet knows no other way into an adapter. */
export interface ProbePlace {
  /** Writes the image and makes it the one that answers next. Gives whether it does; the place says why not. */
  put(image: Uint8Array): Promise<boolean>
  /** Why the last image was not written; `null` where it was. */
  readonly refusal: Refusal | null
}

/** Why an image was not written, before anything was changed. What goes wrong over the link is told by the link. */
export type Refusal =
  | { readonly kind: 'not-read'; readonly bank: BankNumber }
  | { readonly kind: 'not-kept'; readonly bank: BankNumber; readonly image: Uint8Array }
