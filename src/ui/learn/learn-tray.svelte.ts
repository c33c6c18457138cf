import type { PadIdentity } from '../../pad/layout/schema.ts'

/** What is known of a pad that is not at hand: which one it is, and its report descriptor. */
export interface MetDescriptor {
  readonly identity: Pick<PadIdentity, 'vendorId' | 'productId'>
  readonly descriptor: Uint8Array
}

/** What waits to be learned from: the Adapter station lays a descriptor here and goes to `#pad/learn`. */
class LearnTray {
  waiting = $state.raw<MetDescriptor | null>(null)
  /** A pad that was begun waits on the learn sheet. */
  isBegun = $state(false)

  lay(met: MetDescriptor): void {
    this.waiting = met
  }

  /** Takes what waits. */
  take(): MetDescriptor | null {
    const met = this.waiting
    this.waiting = null
    return met
  }
}

export const learnTray = new LearnTray()
