import { BUSY_LOCK } from './busy.svelte.ts'

import { addressOfWorker } from './service-worker.ts'

/** What became of a wish to bring in the newer version. */
export type Update = 'reloading' | 'busy' | 'gone'

/**
 * The service worker: it keeps the app for the next visit without a network, and says when a newer one waits. No tab is reloaded by
 * another one: the tab in which the user asks is, and all others say that they still run the older version.
 */
export class Offline {
  /** A newer version is here and waits for the user. */
  waiting = $state(false)
  /** Another tab brought in a newer version; this one still runs the older. */
  isOutdated = $state(false)
  #registration: ServiceWorkerRegistration | null = null
  #isMine = false

  async register(): Promise<void> {
    // The development server has none, and neither has a page that is not secure.
    if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return
    const { serviceWorker } = navigator
    // The first worker takes over a page that had none: that is no change of version.
    let wasControlled = serviceWorker.controller !== null
    serviceWorker.addEventListener('controllerchange', () => {
      if (wasControlled && !this.#isMine) this.isOutdated = true
      wasControlled = true
    })
    try {
      const registration = await serviceWorker.register(addressOfWorker())
      this.#registration = registration
      const look = () => (this.waiting = registration.waiting !== null && serviceWorker.controller !== null)
      look()
      registration.addEventListener('updatefound', () =>
        registration.installing?.addEventListener('statechange', look),
      )
    } catch {
      // Without it the app works, only not without a network.
    }
  }

  /**
   * Brings in the newer version and loads this tab again, unless this or another tab flashes, learns, or holds what is not kept. No tab can
   * begin with such a thing until this one has gone.
   */
  async update(): Promise<Update> {
    const worker = this.#registration?.waiting
    if (!worker) {
      // Another tab was quicker.
      location.reload()
      return 'gone'
    }
    return navigator.locks.request(BUSY_LOCK, { mode: 'exclusive', ifAvailable: true }, async (lock) => {
      if (lock === null) return 'busy'
      this.#isMine = true
      const changed = new Promise((resolve) =>
        navigator.serviceWorker.addEventListener('controllerchange', resolve, { once: true }),
      )
      worker.postMessage({ type: 'SKIP_WAITING' })
      await changed
      location.reload()
      return 'reloading'
    })
  }
}
