import type { StickPosition } from '../../pad/extract.ts'

const MOST_PLACES = 16
const GONE_AFTER_MS = 400

/** Where a stick was just now. It goes when the stick rests. */
export class StickTrail {
  places = $state.raw<readonly StickPosition[]>([])
  #going: ReturnType<typeof setTimeout> | undefined

  add(place: StickPosition): void {
    this.places = [...this.places, place].slice(-MOST_PLACES)
    clearTimeout(this.#going)
    this.#going = setTimeout(() => (this.places = []), GONE_AFTER_MS)
  }

  end(): void {
    clearTimeout(this.#going)
  }
}
