import type { LastActivity, ListedPad } from '../../adapter/pad-history.ts'
import type { Adapter } from '../../adapter/session.ts'
import { sentenceFor } from '../../adapter/troubles.ts'
import type { Trouble } from '../../adapter/troubles.ts'
import { t } from './link-texts.ts'

/** What an adapter keeps of pads, as far as it could be read. */
export interface StoredPads {
  readonly pads: readonly ListedPad[]
  readonly activity: LastActivity | null
}

/** The pad history and the last activity of an adapter, read when they are wanted: a pad is never at the adapter while a computer is. */
export class PadHistory {
  readonly #adapter: () => Adapter | null
  stored = $state.raw<StoredPads | null>(null)
  /** Why it could not be read, or why what was asked last was not done. */
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
    if (adapter !== this.asked) this.stored = null
    this.asked = adapter
    this.sentence = null
    this.isOlder = false
    if (!adapter) return
    this.busy = true
    const [pads, activity] = [await adapter.padHistory(), await adapter.lastActivity()]
    if (this.asked !== adapter) return
    this.busy = false
    const trouble = !pads.ok ? pads.error : !activity.ok ? activity.error : null
    if (trouble) this.#refuse(trouble)
    // One of the two may be whole where the other is not.
    this.stored = pads.ok ? { pads: pads.value, activity: activity.ok ? activity.value : null } : null
  }

  /** The report descriptor of a pad in the list, from 1; `null` when {@link sentence} says why not. */
  async descriptor(number: number): Promise<Uint8Array | null> {
    const adapter = this.asked
    if (!adapter) return null
    this.sentence = null
    const answer = await adapter.storedDescriptor(number)
    if (this.asked !== adapter) return null
    if (!answer.ok) this.#refuse(answer.error)
    else if (answer.value === null) this.sentence = t.noDescriptor
    return answer.ok ? answer.value : null
  }

  async forget(): Promise<void> {
    const adapter = this.asked
    if (!adapter) return
    const done = await adapter.forgetPads()
    if (this.asked !== adapter) return
    if (done.ok) await this.ask()
    else this.#refuse(done.error)
  }

  #refuse(trouble: Trouble): void {
    this.isOlder = trouble.kind === 'firmware-older'
    this.sentence = sentenceFor(trouble)
  }
}
