import type { LastSeen, PadMet } from '../../adapter/kept.ts'
import type { Adapter } from '../../adapter/session.ts'
import { sentenceFor } from '../../adapter/troubles.ts'
import type { Trouble } from '../../adapter/troubles.ts'
import { t } from './link-texts.ts'

/** What an adapter told of the pads that it met. */
export interface PadHistory {
  readonly pads: readonly PadMet[]
  readonly seen: LastSeen | null
}

/** The adapter's memory of pads, asked for when it is wanted: a pad is never at the adapter while a computer is. */
export class PadsMemory {
  readonly #adapter: () => Adapter | null
  told = $state.raw<PadHistory | null>(null)
  /** What kept it from being told, or what was asked last from being done. */
  sentence = $state.raw<string | null>(null)
  /** The adapter's firmware keeps nothing of pads. */
  isOlder = $state.raw(false)
  busy = $state.raw(false)
  /** Who was asked; an answer that comes after another adapter was asked is dropped. */
  asked = $state.raw<Adapter | null>(null)

  constructor(adapter: () => Adapter | null) {
    this.#adapter = adapter
  }

  /** Asks anew, of whichever adapter is connected now. */
  async ask(): Promise<void> {
    const adapter = this.#adapter()
    if (adapter !== this.asked) this.told = null
    this.asked = adapter
    this.sentence = null
    this.isOlder = false
    if (!adapter) return
    this.busy = true
    const [pads, seen] = [await adapter.padsMet(), await adapter.lastSeen()]
    if (this.asked !== adapter) return
    this.busy = false
    const trouble = !pads.ok ? pads.error : !seen.ok ? seen.error : null
    if (trouble) this.#tell(trouble)
    // One of the two may be whole where the other is not.
    this.told = pads.ok ? { pads: pads.value, seen: seen.ok ? seen.value : null } : null
  }

  /** The report descriptor of a pad in the list, from 1; `null` when {@link sentence} says why not. */
  async descriptor(number: number): Promise<Uint8Array | null> {
    const adapter = this.asked
    if (!adapter) return null
    this.sentence = null
    const kept = await adapter.keptDescriptor(number)
    if (this.asked !== adapter) return null
    if (!kept.ok) this.#tell(kept.error)
    else if (kept.value === null) this.sentence = t.noDescriptor
    return kept.ok ? kept.value : null
  }

  async forget(): Promise<void> {
    const adapter = this.asked
    if (!adapter) return
    const done = await adapter.forgetPads()
    if (this.asked !== adapter) return
    if (done.ok) await this.ask()
    else this.#tell(done.error)
  }

  #tell(trouble: Trouble): void {
    this.isOlder = trouble.kind === 'firmware-older'
    this.sentence = sentenceFor(trouble)
  }
}
