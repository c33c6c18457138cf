import { tick } from 'svelte'
import type { MenuItem } from './types.ts'

/** Where the focus goes from item `from` of `count`, laid out in rows of `columns`; undefined when the key moves nothing. */
export function menuMove(key: string, from: number, count: number, columns: number): number | undefined {
  const wrap = (to: number) => (to + count) % count
  const steps: Record<string, number> = {
    ArrowDown: wrap(from + columns <= count - 1 ? from + columns : from % columns),
    ArrowUp: from - columns >= 0 ? from - columns : lastOfColumn(from % columns, count, columns),
    Home: 0,
    End: count - 1,
    ...(columns > 1 ? { ArrowRight: wrap(from + 1), ArrowLeft: wrap(from - 1) } : {}),
  }
  return count > 0 ? steps[key] : undefined
}

const lastOfColumn = (column: number, count: number, columns: number): number => {
  const last = Math.floor((count - 1) / columns) * columns + column
  return last < count ? last : last - columns
}

/** Place a box of `size` beside `anchor` within the window: beneath it, or above where there is no room. All in CSS px. */
export function placeBeside(
  anchor: { left: number; top: number; bottom: number },
  size: { width: number; height: number },
  room: { width: number; height: number },
): { left: number; top: number } {
  const gap = 4
  const fitsBelow = anchor.bottom + gap + size.height <= room.height - gap
  const top = fitsBelow ? anchor.bottom + gap : anchor.top - gap - size.height
  return {
    left: Math.max(gap, Math.min(anchor.left, room.width - size.width - gap)),
    top: Math.max(gap, Math.min(top, room.height - size.height - gap)),
  }
}

/**
 * A menu that opens at an element and gives the focus back to it. It is a native popover: it lies above everything,
 * and a press elsewhere or Escape closes it.
 */
export class MenuState<Id extends string = string> {
  readonly #items: () => readonly MenuItem<Id>[]
  readonly #columns: () => number
  readonly #choose: (id: Id) => void
  #anchor: HTMLElement | SVGElement | null = null
  #element: HTMLElement | null = null
  isOpen = $state(false)
  active = $state(0)

  constructor(items: () => readonly MenuItem<Id>[], columns: () => number, choose: (id: Id) => void) {
    this.#items = items
    this.#columns = columns
    this.#choose = choose
  }

  /** Attachment of the menu's element. */
  readonly attach = (element: HTMLElement) => {
    this.#element = element
    return () => {
      this.#element = null
    }
  }

  /** Open beside `anchor`. Where all items are choices of one thing, the one in force has the focus. */
  async openAt(anchor: HTMLElement | SVGElement): Promise<void> {
    this.#anchor = anchor
    const items = this.#items()
    const isChoice = items.every((item) => item.checked !== undefined)
    this.active = isChoice
      ? Math.max(
          items.findIndex((item) => item.checked),
          0,
        )
      : 0
    this.isOpen = true
    await tick()
    const element = this.#element
    if (!element) return
    element.showPopover()
    const box = element.getBoundingClientRect()
    const { left, top } = placeBeside(anchor.getBoundingClientRect(), box, {
      width: document.documentElement.clientWidth,
      height: document.documentElement.clientHeight,
    })
    element.style.left = `${left}px`
    element.style.top = `${top}px`
    this.#focusActive()
  }

  close(): void {
    if (!this.isOpen) return
    const hadFocus = this.#element?.contains(document.activeElement) ?? false
    this.isOpen = false
    if (this.#element?.matches(':popover-open')) this.#element.hidePopover()
    if (hadFocus) this.#anchor?.focus()
    this.#anchor = null
  }

  choose(item: MenuItem<Id>): void {
    if (item.disabled) return
    this.close()
    this.#choose(item.id)
  }

  readonly onkeydown = (event: KeyboardEvent): void => {
    const items = this.#items()
    const to = menuMove(event.key, this.active, items.length, this.#columns())
    const lettered = items.find((item) => item.key?.toLowerCase() === event.key.toLowerCase())
    if (to !== undefined) {
      this.active = to
      this.#focusActive()
    } else if (event.key === 'Escape' || event.key === 'Tab') {
      this.close()
    } else if (lettered && !event.ctrlKey && !event.metaKey && !event.altKey) {
      this.choose(lettered)
    } else return
    event.preventDefault()
    event.stopPropagation()
  }

  /** The browser closed it: a press elsewhere. */
  readonly ontoggle = (event: Event & { newState?: string }): void => {
    if (event.newState === 'closed') this.close()
  }

  #focusActive(): void {
    const items = this.#element?.querySelectorAll<HTMLElement>('[role^="menuitem"]')
    items?.[this.active]?.focus({ preventScroll: true })
  }
}
