import type { SheetChoice } from '../../shelf/desk.ts'

/** Draws the page on paper, as a blueprint, or as the system prefers; the browser's own frame goes with it. */
export function laySheet(choice: SheetChoice): void {
  const root = document.documentElement
  if (choice === 'system') delete root.dataset['sheet']
  else root.dataset['sheet'] = choice
  // The page names both grounds; what is chosen is named for either preference.
  for (const meta of document.querySelectorAll<HTMLMetaElement>('meta[name="theme-color"]')) {
    meta.dataset['own'] ??= meta.content
    meta.content = choice === 'system' ? meta.dataset['own'] : getComputedStyle(root).backgroundColor
  }
}
