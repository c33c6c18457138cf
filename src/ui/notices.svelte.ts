export interface Notice {
  readonly id: number
  readonly message: string
  /** Refused or lost: it stays until it is dismissed. */
  readonly urgent: boolean
}

/** More than so many are not read; the oldest passing ones make room. */
const MOST = 5

/** What the app says to the user in passing, seen and heard. One notice does not take another's place. */
export class Notices {
  all = $state.raw<readonly Notice[]>([])
  /** Heard only: the verdicts that an edit has turned. */
  heard = $state('')
  heardCount = $state(0)
  #nextId = 1
  #hearing: ReturnType<typeof setTimeout> | undefined

  /** Says what was done. It goes by itself. */
  say(message: string): void {
    const { id, urgent } = this.#add(message, false)
    if (urgent) return
    setTimeout(() => this.dismiss(id), 4_000 + 40 * message.length)
  }

  /** Says what was refused or lost. It stays until it is dismissed. */
  warn(message: string): void {
    this.#add(message, true)
  }

  /** For ears only, and only the last of several in a row. */
  whisper(message: string): void {
    clearTimeout(this.#hearing)
    this.#hearing = setTimeout(() => {
      this.heard = message
      this.heardCount++
    }, 700)
  }

  dismiss(id: number): void {
    this.all = this.all.filter((notice) => notice.id !== id)
  }

  /** Takes the newest away; gives whether there was one. */
  dismissNewest(): boolean {
    const newest = this.all.findLast(({ urgent }) => urgent) ?? this.all.at(-1)
    if (newest) this.dismiss(newest.id)
    return newest !== undefined
  }

  /** The same words again stand once, as the newest, and stay if one of them is to stay. */
  #add(message: string, isUrgent: boolean): Notice {
    const urgent = isUrgent || this.all.some((one) => one.urgent && one.message === message)
    const notice = { id: this.#nextId++, message, urgent }
    const others = this.all.filter((one) => one.message !== message)
    while (others.length >= MOST && others.some((one) => !one.urgent)) {
      others.splice(
        others.findIndex((one) => !one.urgent),
        1,
      )
    }
    this.all = [...others, notice]
    return notice
  }
}
