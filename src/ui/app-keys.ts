/** Keys that work everywhere in the app, as the help lists them, and what each does (`keyTexts`). */
export const APP_KEYS = [
  { keys: 'Ctrl Z', does: 'undo' },
  { keys: 'Ctrl Shift Z, Ctrl Y', does: 'redo' },
  { keys: 'Ctrl S', does: 'save' },
  { keys: 'Ctrl V', does: 'paste' },
  { keys: '?', does: 'help' },
] as const

/** Keys of the phase chart; those that have a name are said in the language. */
export const CHART_KEYS = [
  { keys: { named: 'arrows' }, does: 'move' },
  { keys: 'Enter', does: 'menu' },
  { keys: 'U D L R A B C S X Y Z M', does: 'put' },
  { keys: '0, 1', does: 'levels' },
  { keys: 'Delete', does: 'original' },
  { keys: 'Escape', does: 'leave' },
] as const

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
