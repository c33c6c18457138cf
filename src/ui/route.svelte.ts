/** The sheets of the app, by their addresses. The cable runs through the last five. */
const PLACES = ['first', 'pad', 'profile', 'adapter', 'port', 'titles'] as const
export type Place = (typeof PLACES)[number]

const isPlace = (name: string): name is Place => (PLACES as readonly string[]).includes(name)

/** Where the user is. The address says it, so that back, forward and bookmarks work. */
export class Route {
  readonly #home: () => Place
  #hash = $state(location.hash)

  /** @param home where an address without a place leads */
  constructor(home: () => Place) {
    this.#home = home
    $effect(() => {
      const follow = () => (this.#hash = location.hash)
      window.addEventListener('hashchange', follow)
      return () => window.removeEventListener('hashchange', follow)
    })
  }

  readonly place: Place = $derived.by(() => {
    const name = this.#hash.slice(1)
    return isPlace(name) ? name : this.#home()
  })

  go(place: Place): void {
    location.hash = place
  }
}
