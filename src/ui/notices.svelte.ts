/** What the app says to the user in passing: one sentence at a time, seen and heard. */
export class Notices {
  message = $state('')
  count = $state(0)
  urgent = $state(false)
  /** Heard only: the verdicts that an edit has turned. */
  heard = $state('')
  heardCount = $state(0)
  #clearing: ReturnType<typeof setTimeout> | undefined
  #hearing: ReturnType<typeof setTimeout> | undefined

  /** Says what was done. It goes by itself. */
  say(message: string): void {
    this.#show(message, false, 4_000 + 40 * message.length)
  }

  /** Says what was refused or lost. It stays until it is dismissed or something else is said. */
  warn(message: string): void {
    this.#show(message, true, null)
  }

  /** For ears only, and only the last of several in a row. */
  whisper(message: string): void {
    clearTimeout(this.#hearing)
    this.#hearing = setTimeout(() => {
      this.heard = message
      this.heardCount++
    }, 700)
  }

  dismiss(): void {
    clearTimeout(this.#clearing)
    this.message = ''
  }

  #show(message: string, urgent: boolean, forMs: number | null): void {
    clearTimeout(this.#clearing)
    this.message = message
    this.urgent = urgent
    this.count++
    if (forMs !== null) this.#clearing = setTimeout(() => (this.message = ''), forMs)
  }
}
