/** Files dragged over the page. Other drags (an input onto a cell of the chart) are none of its business. */
export class FileDrop {
  readonly #take: (files: readonly File[]) => void
  /** Enters less leaves: each element on the way tells both. */
  #depth = $state(0)

  constructor(take: (files: readonly File[]) => void) {
    this.#take = take
  }

  get isOver(): boolean {
    return this.#depth > 0
  }

  #carriesFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false

  readonly enter = (event: DragEvent): void => {
    if (!this.#carriesFiles(event)) return
    event.preventDefault()
    this.#depth++
  }

  readonly over = (event: DragEvent): void => {
    if (this.#carriesFiles(event)) event.preventDefault()
  }

  readonly leave = (event: DragEvent): void => {
    if (this.#carriesFiles(event)) this.#depth = Math.max(0, this.#depth - 1)
  }

  readonly drop = (event: DragEvent): void => {
    if (!this.#carriesFiles(event)) return
    event.preventDefault()
    this.#depth = 0
    this.#take([...(event.dataTransfer?.files ?? [])])
  }
}
