/**
 * What stands in a field while it is not yet in the document. Every keystroke is tried; what is refused stays in the
 * field with its sentence beside it, and the document stays as it was.
 */
export class Draft<T> {
  readonly #read: () => T
  readonly #write: (value: T) => string | null
  #typed = $state.raw<{ readonly value: T; readonly error: string | null; readonly kept: T } | null>(null)

  /**
   * @param read what the document holds
   * @param write tries a value; gives the sentence of a refusal, or `null` when it is taken
   */
  constructor(read: () => T, write: (value: T) => string | null) {
    this.#read = read
    this.#write = write
  }

  /** What was typed, until the document changes from elsewhere (an undo, another profile). */
  get #current() {
    const typed = this.#typed
    return typed !== null && Object.is(typed.kept, this.#read()) ? typed : null
  }

  get value(): T {
    const typed = this.#current
    return typed === null ? this.#read() : typed.value
  }

  set value(value: T) {
    const error = this.#write(value)
    this.#typed = { value, error, kept: this.#read() }
  }

  get error(): string | undefined {
    return this.#current?.error ?? undefined
  }

  /** The field is left: what was refused is dropped, what was taken shows as the document has it. */
  leave(): void {
    this.#typed = null
  }
}
