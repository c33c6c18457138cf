/** Why this tab must not be taken down now. */
export type BusyReason = 'flashing' | 'learning' | 'not-saved'

/** Held shared by every tab that must not be taken down, and alone by the one that changes the version of the app. */
export const BUSY_LOCK = 'ninepin-busy'

/**
 * Says to the browser and to other tabs that this tab must not be taken down: leaving asks, and no other tab brings in a newer version
 * of the app meanwhile (Web Locks API). Create it in a component.
 */
export class Busy {
  readonly #reason: () => BusyReason | null

  /** @param reason reactive: why now, or `null` */
  constructor(reason: () => BusyReason | null) {
    this.#reason = reason
    const isBusy = $derived(this.reason !== null)
    $effect(() => {
      if (!isBusy) return
      const ask = (event: BeforeUnloadEvent) => event.preventDefault()
      window.addEventListener('beforeunload', ask)
      const release = holdShared()
      return () => {
        window.removeEventListener('beforeunload', ask)
        release()
      }
    })
  }

  get reason(): BusyReason | null {
    return this.#reason()
  }
}

/** Holds the lock until the function that it gives is called. Pages that are not secure have no locks, and no newer version waits there. */
function holdShared(): () => void {
  let release = () => {}
  const held = new Promise<void>((resolve) => (release = resolve))
  void navigator.locks?.request(BUSY_LOCK, { mode: 'shared' }, () => held)
  return release
}
