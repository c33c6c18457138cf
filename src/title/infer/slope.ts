/**
 * The slope that fits best (least squares) the points of several parallel straight lines. Sums are updated about their means, so that
 * no large numbers are taken from each other.
 */
export class Slope {
  #above = 0
  #below = 0
  #count = 0
  #meanX = 0
  #meanY = 0

  /** The points to come lie on another line. */
  startLine(): void {
    this.#count = 0
    this.#meanX = 0
    this.#meanY = 0
  }

  add(x: number, y: number): void {
    this.#count++
    const fromX = x - this.#meanX
    this.#meanX += fromX / this.#count
    this.#meanY += (y - this.#meanY) / this.#count
    this.#above += fromX * (y - this.#meanY)
    this.#below += fromX * (x - this.#meanX)
  }

  /** Nothing where no line has two points. */
  get value(): number | undefined {
    return this.#below > 0 ? this.#above / this.#below : undefined
  }
}
