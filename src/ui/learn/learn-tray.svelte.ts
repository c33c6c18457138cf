import type { PadMet } from '../../adapter/kept.ts'
import type { Trouble } from '../../adapter/troubles.ts'
import type { PadIdentity } from '../../pad/layout/schema.ts'
import type { Result } from '../../port/result.ts'

/** What is known of a pad that is not at hand: which one it is, and its report descriptor. */
export interface MetDescriptor {
  readonly identity: Pick<PadIdentity, 'vendorId' | 'productId'>
  readonly descriptor: Uint8Array
}

/** An adapter that tells which pads it met; its session does. */
export interface AdapterMemory {
  padsMet(): Promise<Result<readonly PadMet[], Trouble>>
  /** @param number in the list, from 1 */
  keptDescriptor(number: number): Promise<Result<Uint8Array | null, Trouble>>
}

/**
 * What waits to be learned from, and whom the learn sheet may ask. The Adapter station lays a descriptor here and goes to
 * `#pad/learn`; it also says here which adapter is connected.
 */
class LearnTray {
  waiting = $state.raw<MetDescriptor | null>(null)
  memory = $state.raw<AdapterMemory | null>(null)
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
