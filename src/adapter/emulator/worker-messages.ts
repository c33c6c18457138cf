import type { PinBits } from '../../port/pins.ts'
import type { OpenTrouble } from '../troubles.ts'

/** A stretch of select, in ns from its start, played to the chip with some controls held. */
export interface Stimulus {
  readonly rest: 'low' | 'high'
  readonly edges: readonly { readonly atNs: number; readonly level: 'low' | 'high' }[]
  readonly endNs: number
}

/** What stood on the six pins: at the start, and every change, in ns from the start. */
export interface Measured {
  readonly start: PinBits
  readonly changes: readonly { readonly atNs: number; readonly pins: PinBits }[]
}

/** To the worker that the emulated chip lives in. */
export type ToChip =
  | { readonly kind: 'power'; readonly firmware: Uint8Array; readonly banks: Uint8Array }
  | { readonly kind: 'open' }
  | { readonly kind: 'send'; readonly bytes: Uint8Array }
  | { readonly kind: 'close' }
  | { readonly kind: 'measure'; readonly stimulus: Stimulus }

/** From the worker. */
export type FromChip =
  | { readonly kind: 'opened' }
  | { readonly kind: 'refused'; readonly trouble: OpenTrouble }
  | { readonly kind: 'bytes'; readonly bytes: Uint8Array }
  | { readonly kind: 'lost' }
  /** The part of the flash that the banks are in, after it was written. */
  | { readonly kind: 'banks'; readonly bytes: Uint8Array }
  | { readonly kind: 'measured'; readonly measured: Measured }
  /** The firmware did what the chip would not; the chip stands still. */
  | { readonly kind: 'trapped'; readonly message: string }
