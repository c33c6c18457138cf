import { TITLE_LIMITS } from './title-limits.ts'

/**
 * Modes of which no two have one name: of those that do, the later ones get a number after it. What a title says of a mode could be
 * said of either otherwise, and a file in which two are called alike still opens.
 */
export function withNamesApart<M extends { readonly name?: string }>(modes: readonly M[]): M[] {
  const taken = new Set(modes.flatMap(({ name }) => name ?? []))
  const seen = new Set<string>()
  return modes.map((mode) => {
    const { name } = mode
    if (name === undefined) return mode
    if (!seen.has(name)) {
      seen.add(name)
      return mode
    }
    let n = 2
    while (taken.has(numbered(name, n))) n++
    taken.add(numbered(name, n))
    return { ...mode, name: numbered(name, n) }
  })
}

/** "menu (2)"; a name that is too long for its number loses its end, by whole characters. */
function numbered(name: string, n: number): string {
  const number = ` (${n})`
  let beginning = ''
  for (const character of name) {
    if (beginning.length + character.length + number.length > TITLE_LIMITS.nameLength) break
    beginning += character
  }
  return beginning.trimEnd() + number
}
