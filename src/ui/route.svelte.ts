/** The sheets of the app, by their addresses. The cable runs through the last five. */
const PLACES = ['first', 'pad', 'profile', 'adapter', 'port', 'titles'] as const
export type Place = (typeof PLACES)[number]

const isPlace = (name: string): name is Place => (PLACES as readonly string[]).includes(name)

/** What can be opened at a place and has an address of its own. */
const PARTS = ['symptoms', 'learn'] as const
type Part = (typeof PARTS)[number]

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

  readonly #names = $derived(this.#hash.slice(1).split('/'))

  readonly place: Place = $derived.by(() => {
    const [name = ''] = this.#names
    return isPlace(name) ? name : this.#home()
  })

  /** What is open at the place, behind a stroke: `#titles/symptoms`. */
  readonly part: Part | null = $derived(PARTS.find((part) => part === this.#names[1]) ?? null)

  go(place: Place, part?: Part): void {
    location.hash = part === undefined ? place : `${place}/${part}`
  }
}
