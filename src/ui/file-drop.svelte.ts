import { handOver } from './file-exchange.ts'
import type { TakeFiles } from './file-exchange.ts'

/** Files dragged over the page. Other drags (an input onto a cell of the chart) are none of its business. */
export class FileDrop {
  readonly #take: TakeFiles
  /** Enters less leaves: each element on the way tells both. */
  #depth = $state(0)

  constructor(take: TakeFiles) {
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
    void handOver([...(event.dataTransfer?.files ?? [])], this.#take)
  }
}
