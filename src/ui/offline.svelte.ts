/** The service worker: it keeps the app for the next visit without a network, and says when a newer one waits. */
export class Offline {
  /** A newer version is here and waits for the user. */
  waiting = $state(false)
  #update: ((reload: boolean) => Promise<void>) | null = null

  async register(): Promise<void> {
    // The development server has none, and neither has a page that is not secure.
    if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return
    const { registerSW } = await import('virtual:pwa-register')
    this.#update = registerSW({ onNeedRefresh: () => (this.waiting = true) })
  }

  /** Loads the newer version; what is open is on the shelf and comes back. */
  async update(): Promise<void> {
    await this.#update?.(true)
  }
}
