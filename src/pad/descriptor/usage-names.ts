import { hexWord } from '../../words/hexadecimal.ts'
import { USAGE_PAGES } from './usage-tables.ts'
import type { UsageRange } from './shape.ts'

export const PAGE = {
  desktop: 0x01,
  simulation: 0x02,
  game: 0x05,
  keyboard: 0x07,
  button: 0x09,
  consumer: 0x0c,
  vendor: 0xff00,
} as const

/** The name of a usage page; its number where we know no name. */
export function pageName(page: number): string {
  if (page >= PAGE.vendor) return `Vendor ${hexWord(page, 4)}`
  return USAGE_PAGES.get(page)?.name ?? `Page ${hexWord(page, 4)}`
}

/** The name of a usage, such as "X" or "Button 3"; page and number where we know no name. */
export function usageName(page: number, id: number): string {
  if (page === PAGE.button) return id === 0 ? 'No Button' : `Button ${id}`
  for (const [first, ...names] of USAGE_PAGES.get(page)?.rows ?? []) {
    const name = names[id - first]
    if (name !== undefined) return name
  }
  return `${pageName(page)} ${hexWord(id, 4)}`
}

/** Usages in words: "Button 1 to Button 8", "X, Y". */
export const usagesInWords = (usages: readonly UsageRange[]): string =>
  usages
    .map(({ page, first, last }) =>
      first === last ? usageName(page, first) : `${usageName(page, first)} to ${usageName(page, last)}`,
    )
    .join(', ')
