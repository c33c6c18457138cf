/**
 * Captures that wait to be read, the first one on its sheet. There is one tray for the page, since files come in at every place
 * that takes files, and none of these has a use for a capture.
 */
class CaptureTray {
  #files = $state.raw<readonly File[]>([])
  #asked = $state(false)

  /** Whether the sheet is to be seen, with a capture on it or with the question for one. */
  get isOpen(): boolean {
    return this.#asked || this.#files.length > 0
  }

  /** The capture on the sheet; `null` while the sheet asks for one. */
  get file(): File | null {
    return this.#files[0] ?? null
  }

  /** How many wait behind it. */
  get waiting(): number {
    return Math.max(0, this.#files.length - 1)
  }

  /** Opens the sheet without a capture: it asks for one. */
  ask(): void {
    this.#asked = true
  }

  lay(files: readonly File[]): void {
    this.#files = [...this.#files, ...files]
  }

  /** The sheet is done with its capture; the next one comes up, or the sheet goes. */
  next(): void {
    this.#files = this.#files.slice(1)
    this.#asked = false
  }

  clear(): void {
    this.#files = []
    this.#asked = false
  }
}

export const tray = new CaptureTray()
