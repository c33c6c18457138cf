/** The sheets of the app, by their addresses. The cable runs through the last five. */
const SHEETS = ['first', 'pad', 'profile', 'adapter', 'port', 'titles'] as const
export type SheetName = (typeof SHEETS)[number]

const isSheet = (name: string): name is SheetName => (SHEETS as readonly string[]).includes(name)

/** What can be opened at a place and has an address of its own. */
const PARTS = ['symptoms', 'learn', 'probe'] as const
type Part = (typeof PARTS)[number]

/** Where the user is. The address says it, so that back, forward and bookmarks work. */
export class Route {
  readonly #home: () => SheetName
  #hash = $state(location.hash)

  /** @param home where an address without a place leads */
  constructor(home: () => SheetName) {
    this.#home = home
    $effect(() => {
      const follow = () => (this.#hash = location.hash)
      window.addEventListener('hashchange', follow)
      return () => window.removeEventListener('hashchange', follow)
    })
  }

  readonly #names = $derived(this.#hash.slice(1).split('/'))

  readonly place: SheetName = $derived.by(() => {
    const [name = ''] = this.#names
    return isSheet(name) ? name : this.#home()
  })

  /** What is open at the place, behind a stroke: `#titles/symptoms`. */
  readonly part: Part | null = $derived(PARTS.find((part) => part === this.#names[1]) ?? null)

  go(place: SheetName, part?: Part): void {
    location.hash = part === undefined ? place : `${place}/${part}`
  }
}
