import type { PadIdentity } from '../../pad/layout/schema.ts'
import type { NamedPlace } from './named-places.ts'

/** Who is told what a pad that is being learned does. */
export interface PadListener {
  /** @param number 0 where reports have none */
  report(number: number, data: Uint8Array): void
  /** It went, or came back. */
  here(isHere: boolean): void
}

/** A pad in somebody's hands that can be learned by pressing. */
export interface PadSource {
  readonly pad: PadIdentity
  /** As the browser calls it. */
  readonly name: string
  /** Where something may be found. */
  readonly places: readonly NamedPlace[]
  /** Begins to listen. Gives the sentence of a refusal, or `null`. */
  start(listener: PadListener): Promise<string | null>
  stop(): Promise<void>
  /** Asks for it once more after it went; must follow a press of the user. Absent where it comes back by itself. */
  chooseAgain?(): Promise<string | null>
}
