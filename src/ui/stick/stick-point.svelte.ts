import type { StickPosition } from '../../pad/extract.ts'
import { stickDirection } from '../../pad/stick/direction.ts'
import { stickNumbers } from '../../pad/stick/numbers.ts'
import type { StickSettings } from '../../pad/stick/settings.ts'
import { polarOf } from './polar.ts'

const MIDDLE: StickPosition = { x: 0, y: 0 }

/** A point on the plane of a stick, and what a stick that stands there holds. It remembers what it held before it moved. */
export class StickPoint {
  readonly #settings: () => StickSettings
  #at = $state.raw({ place: MIDDLE, before: 0 })
  readonly #numbers = $derived.by(() => stickNumbers(this.#settings()))

  /** The bits of `direction.ts`. */
  readonly held: number = $derived.by(() => {
    const { place, before } = this.#at
    return stickDirection(this.#numbers, this.#settings().gate, place.x, place.y, before)
  })
  readonly polar = $derived.by(() => polarOf(this.#settings().gate, this.#at.place))

  constructor(settings: () => StickSettings) {
    this.#settings = settings
  }

  get place(): StickPosition {
    return this.#at.place
  }

  /** Moves there as a stick does; false where it stands there already. */
  move(place: StickPosition): boolean {
    const { x, y } = this.#at.place
    if (place.x === x && place.y === y) return false
    this.#at = { place, before: this.held }
    return true
  }

  /** Stands there as if it came straight from the middle. */
  jump(place: StickPosition): void {
    this.#at = { place, before: 0 }
  }
}
