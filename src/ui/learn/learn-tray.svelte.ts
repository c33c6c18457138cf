import type { PadIdentity } from '../../pad/layout/schema.ts'

/** What is known of a pad that is not at hand: which one it is, and its report descriptor. */
export interface PadDescriptor {
  readonly identity: Pick<PadIdentity, 'vendorId' | 'productId'>
  readonly descriptor: Uint8Array
}

/** What waits to be learned from: the Adapter station lays a descriptor here and goes to `#pad/learn`. */
class LearnTray {
  waiting = $state.raw<PadDescriptor | null>(null)
  /** A pad that was begun waits on the learn sheet. */
  isBegun = $state(false)

  lay(pad: PadDescriptor): void {
    this.waiting = pad
  }

  /** Takes what waits. */
  take(): PadDescriptor | null {
    const { waiting } = this
    this.waiting = null
    return waiting
  }
}

export const learnTray = new LearnTray()
