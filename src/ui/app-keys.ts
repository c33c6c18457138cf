export type AppCommand = 'undo' | 'redo' | 'save' | 'help'

interface KeyPress {
  readonly key: string
  readonly ctrlKey: boolean
  readonly metaKey: boolean
  readonly altKey: boolean
  readonly shiftKey: boolean
}

/**
 * The command of a key press, if it is one.
 *
 * @param typing the focus is where characters are typed
 */
export function commandOf(
  { key, ctrlKey, metaKey, altKey, shiftKey }: KeyPress,
  typing: boolean,
): AppCommand | null {
  if (altKey) return null
  const letter = key.toLowerCase()
  if (ctrlKey || metaKey) {
    if (letter === 'z') return shiftKey ? 'redo' : 'undo'
    if (letter === 'y' && !shiftKey) return 'redo'
    if (letter === 's' && !shiftKey) return 'save'
    return null
  }
  return key === '?' && !typing ? 'help' : null
}

/** Whether characters are typed at `target`. */
export const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target.isContentEditable ||
    target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement ||
    (target instanceof HTMLInputElement && !['checkbox', 'radio', 'button', 'file'].includes(target.type)))
