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
